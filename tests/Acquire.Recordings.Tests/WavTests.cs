using System.Buffers.Binary;
using System.Diagnostics;
using Acquire.Recordings.Tests.Doubles;
using Acquire.Scales;
using CsCheck;

namespace Acquire.Recordings.Tests;

public sealed class WavTests
{
    private static readonly byte[] Guid = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];

    private static byte[] Chunk(string id, byte[] content, uint? size = null)
    {
        byte[] header = [.. System.Text.Encoding.ASCII.GetBytes(id), 0, 0, 0, 0];
        BinaryPrimitives.WriteUInt32LittleEndian(header.AsSpan(4), size ?? (uint)content.Length);
        return [.. header, .. content, .. new byte[content.Length & 1]];
    }

    private static byte[] Format(ushort tag, ushort channels, uint rate, ushort bytes, ushort bits, byte[]? extension = null)
    {
        byte[] format = new byte[16];
        BinaryPrimitives.WriteUInt16LittleEndian(format, tag);
        BinaryPrimitives.WriteUInt16LittleEndian(format.AsSpan(2), channels);
        BinaryPrimitives.WriteUInt32LittleEndian(format.AsSpan(4), rate);
        BinaryPrimitives.WriteUInt16LittleEndian(format.AsSpan(12), (ushort)(channels * bytes));
        BinaryPrimitives.WriteUInt16LittleEndian(format.AsSpan(14), bits);
        return [.. format, .. extension ?? []];
    }

    private static byte[] Extension(ushort validBits, byte tag) => [22, 0, (byte)validBits, 0, 0, 0, 0, 0, tag, 0, .. Guid];

    private static byte[] File(string id, params byte[][] chunks) => [.. Chunk(id, []), .. "WAVE"u8, .. chunks.SelectMany(c => c)];

    private static string Write(TempFolder folder, byte[] bytes)
    {
        System.IO.File.WriteAllBytes(folder.File("a.wav"), bytes);
        return folder.File("a.wav");
    }

    [Fact]
    public void Open_PlainFile_WordsAreOffsetAndChunksPassedOver()
    {
        using var folder = new TempFolder();
        string path = Write(folder, File("RIFF", Chunk("LIST", [1, 2, 3]), Chunk("fmt ", Format(1, 2, 48_000, 2, 16)), Chunk("data", [0, 0, 0, 0x80, 0xFF, 0x7F, 1, 0]), Chunk("more", [9])));

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal((2, 2, 48_000.0, 16, "ri16_le"), (reader.ScanCount, reader.ChannelCount, reader.ScanRateHz, reader.Bits, reader.WordName));
        Assert.Equal([32768, 0, 65535, 32769], Foreign.ReadAll(reader).Codes);
        Assert.Equal(folder.File("a"), reader.Name);
        Assert.Empty(reader.Notes);
        Assert.Equal(folder.File("a.setup.json"), SetupFile.NameBeside(path));
    }

    [Fact]
    public void Open_TwelveValidBitsIn16_CodesOf12Bits()
    {
        // Left-aligned, as the format says: -32768 is the lowest code, 32752 the highest of 12 bits.
        using var folder = new TempFolder();
        string path = Write(folder, File("RIFF", Chunk("fmt ", Format(0xFFFE, 1, 1000, 2, 16, Extension(12, 1))), Chunk("data", [0, 0x80, 0xF0, 0x7F, 0, 0, 0x10, 0])));

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal(12, reader.Bits);
        Assert.Equal([0, 4095, 2048, 2049], Foreign.ReadAll(reader).Codes);
    }

    [Theory]
    [InlineData(24)]
    [InlineData(32)]
    public void Open_WideWords_TheHighest16BitsAreTheCodeAndNothingIsClipped(int bits)
    {
        // What a shift leaves, by the definition of "highest": full scale both ways, both sides of zero, and all lower bits set.
        int shift = bits - 16;
        int most = (int)((1L << (bits - 1)) - 1);
        int[] words = [-most - 1, most, -1, 0, 1, (1 << shift) - 1, 1 << shift, (-5 << shift) + (1 << (shift - 1)), (7 << shift) + (1 << (shift - 1))];
        using var folder = new TempFolder();
        byte[] data = [.. words.SelectMany(word => BitConverter.GetBytes(word).Take(bits / 8))];
        string path = Write(folder, File("RIFF", Chunk("fmt ", Format(1, 1, 10, (ushort)(bits / 8), (ushort)bits)), Chunk("data", data)));

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal(words.Select(word => (ushort)((word >> shift) + 32_768)), Foreign.ReadAll(reader).Codes);
        Assert.Equal(0, reader.Clipped);
    }

    [Theory]
    [InlineData(24)]
    [InlineData(32)]
    public void Open_TwelveValidBitsInWideWords_CodesOf12Bits(int bits)
    {
        int[] codes = [0, 1, 2_047, 2_048, 4_095];
        using var folder = new TempFolder();
        byte[] data = [.. codes.SelectMany(code => BitConverter.GetBytes((code - 2_048) << (bits - 12)).Take(bits / 8))];
        string path = Write(folder, File("RIFF", Chunk("fmt ", Format(1, 1, 10, (ushort)(bits / 8), 12)), Chunk("data", data)));

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal(12, reader.Bits);
        Assert.Equal(codes.Select(code => (ushort)code), Foreign.ReadAll(reader).Codes);
    }

    [Fact]
    public void Open_LongFile_SizesComeFromTheirOwnChunk()
    {
        using var folder = new TempFolder();
        byte[] sizes = new byte[28];
        BinaryPrimitives.WriteInt64LittleEndian(sizes.AsSpan(8), 4);
        foreach (string id in (string[])["RF64", "BW64"])
        {
            string path = Write(folder, File(id, Chunk("ds64", sizes), Chunk("fmt ", Format(1, 1, 10, 2, 16)), Chunk("data", [1, 0, 2, 0, 3, 0], uint.MaxValue)));

            using RecordingReader reader = RecordingReader.Open(path);

            Assert.Equal([32769, 32770], Foreign.ReadAll(reader).Codes);
        }
    }

    [Theory]
    [InlineData(0u)]
    [InlineData(uint.MaxValue)]
    public void Open_SizeNotFilledIn_EverythingToTheEndAndANote(uint size)
    {
        using var folder = new TempFolder();
        string path = Write(folder, File("RIFF", Chunk("fmt ", Format(1, 1, 10, 1, 8)), Chunk("data", [1, 2, 3, 4], size)));

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal([1, 2, 3, 4], Foreign.ReadAll(reader).Codes);
        Assert.Contains("does not say", Assert.Single(reader.Notes), StringComparison.Ordinal);
    }

    [Fact]
    public void Open_CutOff_WholeScansAndNotes()
    {
        using var folder = new TempFolder();
        string path = Write(folder, File("RIFF", Chunk("fmt ", Format(1, 2, 10, 2, 16)), Chunk("data", [1, 0, 2, 0, 3, 0], 4_000)));

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal([32769, 32770], Foreign.ReadAll(reader).Codes);
        Assert.Equal(2, reader.Notes.Count);
        Assert.True(reader.IsTruncated);
    }

    [Fact]
    public void Open_SizeOfAPipe_IsNotCutOff()
    {
        // sox 14.4.2 -t wav - writes 0x7FFFF000, in whole scans, where it cannot go back.
        using var folder = new TempFolder();
        string path = Write(folder, File("RIFF", Chunk("fmt ", Format(1, 3, 10, 2, 16)), Chunk("data", [1, 0, 2, 0, 3, 0], 0x7FFFF000 - (0x7FFFF000 % 6))));

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal([32769, 32770, 32771], Foreign.ReadAll(reader).Codes);
        Assert.Contains("does not say", Assert.Single(reader.Notes), StringComparison.Ordinal);
        Assert.False(reader.IsTruncated);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(6)]
    public void Open_LongerThan32BitsCount_TurnsOfTheSizeAreRead(int behind)
    {
        // A writer that goes on beyond 4 GiB states what is left over: 2^32 + 8 bytes of data as 8. A sparse file holds them.
        using var folder = new TempFolder();
        string path = Write(folder, File("RIFF", Chunk("fmt ", Format(1, 1, 10, 2, 16)), Chunk("data", [1, 0], 8)));
        using (FileStream file = System.IO.File.OpenWrite(path)) file.SetLength(file.Length - 2 + (1L << 32) + 8 + behind);

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal((1L << 31) + 4, reader.ScanCount);
        Assert.Contains("32 bits", Assert.Single(reader.Notes), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(byte.MaxValue)]
    public void Open_LongFileWhoseSizesWereNeverFilledIn_IsReadToItsEnd(byte filler)
    {
        using var folder = new TempFolder();
        byte[] sizes = new byte[28];
        sizes.AsSpan().Fill(filler);
        string path = Write(folder, File("RF64", Chunk("ds64", sizes), Chunk("fmt ", Format(1, 2, 10, 2, 16)), Chunk("data", [1, 0, 2, 0], uint.MaxValue)));

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal([32769, 32770], Foreign.ReadAll(reader).Codes);
        Assert.Contains("does not say", Assert.Single(reader.Notes), StringComparison.Ordinal);
    }

    public static TheoryData<string, byte[], RecordingFailure> Damaged => new()
    {
        { "short", "RIFF"u8.ToArray(), RecordingFailure.UnknownKind },
        { "other", [.. "OggS"u8, .. new byte[40]], RecordingFailure.UnknownKind },
        { "no chunks", File("RIFF"), RecordingFailure.FieldMissing },
        { "no data", File("RIFF", Chunk("fmt ", Format(1, 1, 10, 2, 16))), RecordingFailure.FieldMissing },
        { "no format", File("RIFF", Chunk("data", [1, 2])), RecordingFailure.FieldMissing },
        { "empty data", File("RIFF", Chunk("fmt ", Format(1, 1, 10, 2, 16)), Chunk("data", [])), RecordingFailure.NoScans },
        { "half a scan", File("RIFF", Chunk("fmt ", Format(1, 2, 10, 2, 16)), Chunk("data", [1, 2])), RecordingFailure.NoScans },
        { "no channels", File("RIFF", Chunk("fmt ", Format(1, 0, 10, 2, 16)), Chunk("data", [1, 2])), RecordingFailure.ChannelsWrong },
        { "no rate", File("RIFF", Chunk("fmt ", Format(1, 1, 0, 2, 16)), Chunk("data", [1, 2])), RecordingFailure.RateWrong },
        { "no words", File("RIFF", Chunk("fmt ", Format(1, 1, 10, 0, 0)), Chunk("data", [1, 2])), RecordingFailure.FieldWrong },
        { "too many bits", File("RIFF", Chunk("fmt ", Format(1, 1, 10, 2, 17)), Chunk("data", [1, 2])), RecordingFailure.FieldWrong },
        { "compressed", File("RIFF", Chunk("fmt ", Format(7, 1, 10, 1, 8)), Chunk("data", [1, 2])), RecordingFailure.UnknownWords },
        { "long words", File("RIFF", Chunk("fmt ", Format(1, 1, 10, 8, 64)), Chunk("data", new byte[8])), RecordingFailure.UnknownWords },
        { "short extension", File("RIFF", Chunk("fmt ", Format(0xFFFE, 1, 10, 2, 16)), Chunk("data", [1, 2])), RecordingFailure.FieldWrong },
        { "strange extension", File("RIFF", Chunk("fmt ", Format(0xFFFE, 1, 10, 2, 16, [22, 0, 16, 0, 0, 0, 0, 0, 1, 0, .. new byte[14]])), Chunk("data", [1, 2])), RecordingFailure.UnknownWords },
        { "cut header", [.. File("RIFF"), .. "fmt "u8, 16, 0, 0, 0, 1, 0], RecordingFailure.BeyondFile },
        { "endless chunks", File("RIFF", [.. Enumerable.Repeat(Chunk("none", []), 10_001)]), RecordingFailure.FieldWrong },
    };

    [Theory]
    [MemberData(nameof(Damaged))]
    public void Open_Damaged_RefusedInOneLine(string what, byte[] bytes, RecordingFailure failure)
    {
        using var folder = new TempFolder();

        RecordingException e = Assert.Throws<RecordingException>(() => RecordingReader.Open(Write(folder, bytes)));

        Assert.True(e.Failure == failure, $"{what}: {e.Failure}, {e.Message}");
        Assert.Equal(-1, e.Message.IndexOfAny(['\n', '\r']));
    }

    [Fact]
    public void Open_MutatedFile_NeverThrowsAnythingElse()
    {
        using var folder = new TempFolder();
        byte[] good = File("RF64", Chunk("ds64", new byte[28]), Chunk("fmt ", Format(0xFFFE, 3, 1000, 2, 16, Extension(12, 1))), Chunk("data", new byte[60]));
        Gen.Select(Gen.Int[0, good.Length - 1], Gen.Byte).List[1, 4].Sample(changes =>
        {
            byte[] bytes = [.. good];
            foreach ((int at, byte value) in changes) bytes[at] = value;
            try
            {
                using RecordingReader reader = RecordingReader.Open(Write(folder, bytes));
                Foreign.ReadAll(reader);
                return true;
            }
            catch (RecordingException e)
            {
                return e.Message.IndexOfAny(['\n', '\r']) < 0;
            }
        }, iter: 1_000, threads: 1);
    }

    [Fact]
    public void Write_AnyCodes_ComeBackExactly() =>
        Gen.Select(Gen.Int[1, 5], Gen.Int[1, 16], Gen.Int[1, 12_000]).SelectMany((channels, bits, scans) =>
                Gen.UShort[0, (ushort)((1 << bits) - 1)].Array[channels * scans].Select(codes => (channels, bits, codes)))
            .Sample((channels, bits, codes) =>
            {
                using var folder = new TempFolder();
                using (var writer = new WavWriter(folder.File("a.wav"), channels, 12_345, bits))
                {
                    writer.Write(codes.AsSpan(0, channels));
                    writer.Write(codes.AsSpan(channels));
                    writer.Complete();
                }

                using RecordingReader reader = RecordingReader.Open(folder.File("a.wav"));
                return reader.Bits == bits && reader.ScanRateHz == 12_345 && reader.Notes.Count == 0
                    && Foreign.ReadAll(reader, 1_000).Codes.SequenceEqual(codes);
            }, iter: 40);

    [Fact]
    public void Write_LongerThanTheFormatHolds_BecomesRf64()
    {
        using var folder = new TempFolder();
        using (var writer = new WavWriter(folder.File("a.wav"), 2, 1_000, 16, mostRiffBytes: 100))
        {
            writer.Write(new ushort[40]);
            writer.Complete();
        }

        byte[] bytes = System.IO.File.ReadAllBytes(folder.File("a.wav"));

        // EBU Tech 3306: "RF64", FFFFFFFF, "WAVE", "ds64", its size, then riffSize, dataSize, sampleCount; the data chunk's own size is FFFFFFFF.
        Assert.Equal("RF64"u8, bytes.AsSpan(0, 4));
        Assert.Equal("ds64"u8, bytes.AsSpan(12, 4));
        Assert.Equal((bytes.Length - 8, 80, 20),
            (BitConverter.ToInt64(bytes, 20), BitConverter.ToInt64(bytes, 28), BitConverter.ToInt64(bytes, 36)));
        Assert.Equal(uint.MaxValue, BitConverter.ToUInt32(bytes, bytes.Length - 84));
        using RecordingReader reader = RecordingReader.Open(folder.File("a.wav"));
        Assert.Equal(20, reader.ScanCount);
        Assert.Empty(reader.Notes);
    }

    [Fact]
    public void Write_Misuse_Refused()
    {
        using var folder = new TempFolder();
        string path = folder.File("a.wav");
        Assert.Throws<ArgumentException>(() => new WavWriter(path, 0, 1_000));
        Assert.Throws<ArgumentException>(() => new WavWriter(path, 2, 0.5));
        Assert.Throws<ArgumentException>(() => new WavWriter(path, 2, 1_000.5));
        Assert.Throws<ArgumentException>(() => new WavWriter(path, 2, double.NaN));
        Assert.Throws<ArgumentException>(() => new WavWriter(path, 2, 1_000, 17));
        using (var writer = new WavWriter(path, 2, 1_000, 12))
        {
            Assert.Throws<ArgumentException>(() => writer.Write([1]));
            Assert.Throws<ArgumentException>(() => writer.Write([4095, 4096]));
            Assert.Equal(0, writer.ScanCount);
            writer.Dispose();
            Assert.Throws<InvalidOperationException>(() => writer.Write([1, 2]));
        }

        Assert.Empty(folder.Names());
        var complete = new WavWriter(path, 2, 1_000, 12);
        complete.Write([1, 2]);
        complete.Complete();
        Assert.Throws<InvalidOperationException>(() => complete.Write([3, 4]));
        Assert.Throws<InvalidOperationException>(complete.Complete);
    }

    // The reference: SoX, a general-purpose sound converter (Debian package sox), writes the same samples in every form.
    private static void Sox(params string[] arguments)
    {
        Process sox;
        try
        {
            sox = Process.Start(new ProcessStartInfo("sox", arguments) { RedirectStandardError = true })!;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Skip("The program sox is not installed.");
            return;
        }

        using (sox)
        {
            string errors = sox.StandardError.ReadToEnd();
            sox.WaitForExit();
            Assert.True(sox.ExitCode == 0, errors);
        }
    }

    [Theory]
    [InlineData(2, "signed-integer", 16, null, null)]
    [InlineData(3, "signed-integer", 16, null, null)]
    [InlineData(2, "signed-integer", 24, -8_388_608.0, 8_388_352.0)]
    [InlineData(3, "signed-integer", 32, -2_147_483_648.0, 2_147_418_112.0)]
    [InlineData(2, "signed-integer", 24, null, null)]
    [InlineData(3, "signed-integer", 32, null, null)]
    [InlineData(1, "floating-point", 32, -1.0, 0.999969482421875)]
    [InlineData(2, "floating-point", 64, -1.0, 0.999969482421875)]
    public void Read_FileOfAnotherProgram_SameCodes(int channels, string encoding, int bits, double? low, double? high)
    {
        using var folder = new TempFolder();
        ushort[] codes = [.. Enumerable.Range(0, 600 * channels).Select(i => (ushort)(i * 40_503))];
        System.IO.File.WriteAllBytes(folder.File("a.raw"), [.. codes.SelectMany(c => BitConverter.GetBytes((ushort)(c ^ 0x8000)))]);
        Sox("-D", "-t", "raw", "-e", "signed", "-b", "16", "-L", "-c", $"{channels}", "-r", "48000", folder.File("a.raw"),
            "-e", encoding, "-b", $"{bits}", folder.File("a.wav"));

        using RecordingReader reader = RecordingReader.Open(folder.File("a.wav"),
            new RecordingOptions { Ranges = low is { } l ? [new CodeVolts((decimal)l, (decimal)high!.Value)] : [] });

        Assert.Equal((600, channels, 48_000.0), (reader.ScanCount, reader.ChannelCount, reader.ScanRateHz));
        Assert.Equal(codes, Foreign.ReadAll(reader).Codes);
        Assert.Equal(0, reader.Clipped);
    }

    [Theory]
    [InlineData(2)]
    [InlineData(3)]
    public void Write_ReadByAnotherProgram_SameWords(int channels)
    {
        using var folder = new TempFolder();
        ushort[] codes = [.. Enumerable.Range(0, 600 * channels).Select(i => (ushort)(i * 40_503))];
        using (var writer = new WavWriter(folder.File("a.wav"), channels, 44_100))
        {
            writer.Write(codes);
            writer.Complete();
        }

        Sox("-D", folder.File("a.wav"), "-t", "raw", "-e", "signed", "-b", "16", "-L", folder.File("a.raw"));

        byte[] raw = System.IO.File.ReadAllBytes(folder.File("a.raw"));
        Assert.Equal(codes, Enumerable.Range(0, raw.Length / 2).Select(i => (ushort)(BitConverter.ToUInt16(raw, 2 * i) ^ 0x8000)));
    }

    [Theory]
    [InlineData(2)]
    [InlineData(3)]
    public void Write_12Bits_AnotherProgramReadsThemLeftAligned(int channels)
    {
        using var folder = new TempFolder();
        ushort[] codes = [.. Enumerable.Range(0, 600 * channels).Select(i => (ushort)(i * 2_731 & 0xFFF))];
        using (var writer = new WavWriter(folder.File("a.wav"), channels, 44_100, bits: 12))
        {
            writer.Write(codes);
            writer.Complete();
        }

        Sox("-D", folder.File("a.wav"), "-t", "raw", "-e", "signed", "-b", "16", "-L", folder.File("a.raw"));

        byte[] raw = System.IO.File.ReadAllBytes(folder.File("a.raw"));
        Assert.Equal(codes, Enumerable.Range(0, raw.Length / 2).Select(i => (ushort)((BitConverter.ToUInt16(raw, 2 * i) ^ 0x8000) >> 4)));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(16)]
    [InlineData(-1)]
    public void Open_UsedBitsThatNoWordHas_ArePassedOver(int bits)
    {
        using var folder = new TempFolder();
        string path = Write(folder, File("RIFF", Chunk("fmt ", Format(1, 1, 10, 2, 16)), Chunk("acqr", BitConverter.GetBytes(bits)), Chunk("data", [0x12, 0x34])));

        using RecordingReader reader = RecordingReader.Open(path);

        Assert.Equal(16, reader.Bits);
        Assert.Equal([0x3412 ^ 0x8000], Foreign.ReadAll(reader).Codes.Select(code => (int)code));
    }

    [Fact]
    public void Read_ReferenceRecordingAsWav_BytesAsKnown()
    {
        // sigmf_logo as 2-channel 16-bit 48 kHz WAV, written by SoX 14.4.2: bytes 0 to 47.
        using var folder = new TempFolder();
        Sox("-t", "raw", "-e", "signed", "-b", "16", "-L", "-c", "2", "-r", "48000", Shared.File("sigmf/sigmf_logo.sigmf-data"), folder.File("a.wav"));
        byte[] bytes = System.IO.File.ReadAllBytes(folder.File("a.wav"));
        Assert.Equal("524946462494110057415645666d7420100000000100020080bb000000ee0200040010006461746100941100ffff0000", Convert.ToHexStringLower(bytes.AsSpan(0, 48)));

        using RecordingReader wav = RecordingReader.Open(folder.File("a.wav"));
        using RecordingReader pair = RecordingReader.Open(Shared.File("sigmf/sigmf_logo.sigmf-meta"));

        Assert.Equal(Foreign.ReadAll(pair, 4_096).Codes, Foreign.ReadAll(wav, 4_096).Codes);
    }
}
