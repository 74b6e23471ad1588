using Acquire.Recordings.Tests.Doubles;

namespace Acquire.Recordings.Tests;

public sealed class RecordingReaderTests
{
    // Two channels, three scans: (0, 1) (513, 65535) (4095, 258), low byte first.
    private static readonly byte[] ThreeScans = [0, 0, 1, 0, 1, 2, 255, 255, 255, 15, 2, 1];

    private static string Data(string name) => Path.Combine(AppContext.BaseDirectory, "data", name);

    [Theory]
    [InlineData("")]
    [InlineData(".sigmf-meta")]
    [InlineData(".sigmf-data")]
    public void Open_NameWithOrWithoutExtension_FindsThePair(string extension)
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru16_le", ThreeScans);

        using RecordingReader reader = RecordingReader.Open(name + extension);

        Assert.Equal(3, reader.ScanCount);
        Assert.Equal([0, 1, 513, 65535, 4095, 258], Foreign.ReadAll(reader).Codes);
        Assert.Equal(name, reader.Name);
    }

    [Fact]
    public void Open_SimulatedBench_StatesWhatItsMetadataSays()
    {
        // tests/data: 760,000 bytes of two 16-bit channels at 100 kHz, as the metadata beside it says.
        using RecordingReader reader = RecordingReader.Open(Data("bandstop"));

        Assert.Equal((190_000, 2, 100_000.0, 16, "ru16_le"),
            (reader.ScanCount, reader.ChannelCount, reader.ScanRateHz, reader.Bits, reader.WordName));
        Assert.StartsWith("Circuit-simulated swept bench", reader.Description, StringComparison.Ordinal);
        Assert.Empty(reader.Notes);
        Assert.False(reader.IsTruncated);
        ushort[] codes = Foreign.ReadAll(reader, 4_096).Codes;
        Assert.Equal(380_000, codes.Length);
        Assert.InRange(codes.Max(), 2_048, 4_095);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(999)]
    [InlineData(65_536)]
    [InlineData(65_537)]
    [InlineData(190_001)]
    public void Read_AnySpanLength_GivesTheSameCodes(int scansPerRead)
    {
        using RecordingReader reader = RecordingReader.Open(Data("through"));
        byte[] bytes = File.ReadAllBytes(Data("through.sigmf-data"));
        ushort[] expected = [.. Enumerable.Range(0, bytes.Length / 2).Select(i => BitConverter.ToUInt16(bytes, 2 * i))];

        Assert.Equal(expected, Foreign.ReadAll(reader, scansPerRead).Codes);
    }

    [Fact]
    public void Rewind_InTheMiddle_StartsAgain()
    {
        using RecordingReader reader = RecordingReader.Open(Data("through"));
        ushort[] first = new ushort[1_000], again = new ushort[1_000];
        reader.Read(first);
        reader.Read(again);

        reader.Rewind();

        Assert.Equal(0, reader.Position);
        Assert.Equal(500, reader.Read(again).Scans);
        Assert.Equal(first, again);
        Assert.Equal(500, reader.Position);
    }

    [Theory]
    [InlineData("ru16_be", new ushort[] { 0x0102, 0xFFFE, 0x8000 }, new byte[] { 1, 2, 0xFF, 0xFE, 0x80, 0 })]
    [InlineData("ri16_le", new ushort[] { 32768, 0, 65535 }, new byte[] { 0, 0, 0, 0x80, 0xFF, 0x7F })]
    [InlineData("ri16_be", new ushort[] { 32768, 0, 65535 }, new byte[] { 0, 0, 0x80, 0, 0x7F, 0xFF })]
    [InlineData("ru8", new ushort[] { 0, 128, 255 }, new byte[] { 0, 128, 255 })]
    [InlineData("ri8", new ushort[] { 128, 0, 255 }, new byte[] { 0, 0x80, 0x7F })]
    public void Read_WordsUpTo16Bits_SignedOnesAreOffset(string datatype, ushort[] codes, byte[] data)
    {
        using var folder = new TempFolder();

        using RecordingReader reader = RecordingReader.Open(Foreign.Write(folder, datatype, data, channels: 1));

        Assert.Equal(codes, Foreign.ReadAll(reader, 2).Codes);
        Assert.Equal(datatype, reader.WordName);
        Assert.Equal(datatype.EndsWith('8') ? 8 : 16, reader.Bits);
        Assert.Null(reader.VoltsOf(0));
    }

    [Fact]
    public void Read_OneByteWordsOfAnyLength_EveryVectorAndTail()
    {
        using var folder = new TempFolder();
        for (int length = 1; length <= 130; length++)
        {
            byte[] data = [.. Enumerable.Range(0, length).Select(i => (byte)(i * 37))];

            using RecordingReader unsigned = RecordingReader.Open(Foreign.Write(folder, "ru8", data, channels: 1));
            using RecordingReader signed = RecordingReader.Open(Foreign.Write(folder, "ri8", data, channels: 1));

            Assert.Equal(data.Select(b => (ushort)b), Foreign.ReadAll(unsigned, 300).Codes);
            Assert.Equal(data.Select(b => (ushort)(128 + (sbyte)b)), Foreign.ReadAll(signed, 300).Codes);
        }
    }

    [Fact]
    public void Read_SignedWordsOf12Bits_ThoseOutsideComeOutAboveTheFullCode()
    {
        using var folder = new TempFolder();
        short[] words = [-2048, 0, 2047, 2048, -2049, short.MinValue, short.MaxValue];
        byte[] data = [.. words.SelectMany(BitConverter.GetBytes)];

        using RecordingReader reader = RecordingReader.Open(
            Foreign.Write(folder, "ri16_le", data, channels: 1), new RecordingOptions { Bits = 12 });
        ushort[] codes = Foreign.ReadAll(reader).Codes;

        Assert.Equal(12, reader.Bits);
        Assert.Equal([0, 2048, 4095], codes[..3]);
        Assert.All(codes[3..], c => Assert.InRange(c, 4096, 65535));
    }

    [Fact]
    public void Read_SelectedChannels_InTheOrderAsked()
    {
        using var folder = new TempFolder();
        byte[] data = [10, 11, 12, 13, 14, 20, 21, 22, 23, 24];
        string name = Foreign.Write(folder, "ru8", data, channels: 5);

        using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { Channels = [4, 1, 1] });

        Assert.Equal((3, 5), (reader.ChannelCount, reader.FileChannelCount));
        Assert.Equal([14, 11, 11, 24, 21, 21], Foreign.ReadAll(reader).Codes);
    }

    [Theory]
    [InlineData("ru16_le")]
    [InlineData("ri16_be")]
    public void Read_SelectedChannelsOf16Bits_AsReadWithAllOfThem(string datatype)
    {
        using var folder = new TempFolder();
        byte[] data = [.. Enumerable.Range(0, 2 * 3 * 50_000).Select(i => (byte)(i * 97 / 13))];
        string name = Foreign.Write(folder, datatype, data, channels: 3);
        using RecordingReader all = RecordingReader.Open(name);
        ushort[] codes = Foreign.ReadAll(all, 30_000).Codes;

        using RecordingReader selected = RecordingReader.Open(name, new RecordingOptions { Channels = [2, 0] });

        Assert.Equal(codes.Chunk(3).SelectMany(s => (ushort[])[s[2], s[0]]), Foreign.ReadAll(selected, 30_000).Codes);
    }

    [Fact]
    public void Read_GlobalIndex_GapBackwardIndexIsBreakAndEquivalentSegmentsMerge()
    {
        using var folder = new TempFolder();
        byte[] data = [.. Enumerable.Range(0, 50).Select(i => (byte)i)];
        string captures = """
            {"core:sample_start":0,"core:global_index":100},
            {"core:sample_start":10,"core:global_index":110},
            {"core:sample_start":20,"core:global_index":620},
            {"core:sample_start":30,"core:global_index":5},
            {"core:sample_start":40}
            """;

        using RecordingReader reader = RecordingReader.Open(Foreign.Write(folder, "ru8", data, channels: 1, captures));
        (ushort[] codes, string joints) = Foreign.ReadAll(reader, 100);

        // 110 continues 100 + 10; 620 is 500 late; 5 goes back; no index means 40, 25 after 15.
        Assert.Equal("20:500:File 30:?:Unknown 40:25:File", joints);
        Assert.Equal(data.Select(b => (ushort)b), codes);
        Assert.Equal(100, reader.FirstIndex);
    }

    [Fact]
    public void Read_HeaderBytes_AsTheStandardsExample()
    {
        // SigMF 1.2.5, core:header_bytes: two segments (0 and 500) with 4 header bytes each and 2-byte words;
        // the second one's data begin at byte 1008. Real words here instead of complex ones.
        using var folder = new TempFolder();
        byte[] data = new byte[1008 + 20 + 3];
        data[4] = 1;
        data[1008] = 2;
        string name = Foreign.Write(folder, "ru16_le", data, channels: 1,
            """{"core:sample_start":0,"core:header_bytes":4},{"core:sample_start":500,"core:header_bytes":4}""",
            ""","core:dataset":"strange.dat","core:trailing_bytes":3""", dataName: "strange.dat");

        using RecordingReader reader = RecordingReader.Open(name);
        (ushort[] codes, string joints) = Foreign.ReadAll(reader);

        Assert.Equal((510, "", 1, 2), (codes.Length, joints, codes[0], codes[500]));
        Assert.Equal("strange.dat", Path.GetFileName(reader.DataPath));
        Assert.Empty(reader.Notes);
    }

    [Fact]
    public void Read_OffsetAndSegmentsBeyondTheData_AbsoluteIndicesAndANote()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "ru8", [1, 2, 3, 4], channels: 1,
            """{"core:sample_start":1000},{"core:sample_start":1002,"core:global_index":1005},{"core:sample_start":9999}""",
            ""","core:offset":1000""", """{"core:sample_start":1001,"core:sample_count":2,"core:label":"step"}""");

        using RecordingReader reader = RecordingReader.Open(name);

        Assert.Equal("2:3:File", Foreign.ReadAll(reader).Joints);
        Assert.Equal(4, reader.ScanCount);
        Assert.Equal(new RecordingAnnotation(1, 2, "step"), Assert.Single(reader.Annotations));
        Assert.Contains(reader.Notes, n => n.Contains("segment, at 9999, starts at or after the end", StringComparison.Ordinal));
        Assert.True(reader.IsTruncated);
    }

    // SigMF 1.2.5: core:sample_start is the index at which a segment takes effect, so the one before it reaches up to there; segments that point at samples
    // that do not exist are ignored. Here four samples are promised, and four are there.
    [Theory]
    [InlineData("""{"core:sample_start":0},{"core:sample_start":4}""", false)]
    [InlineData("""{"core:sample_start":0},{"core:sample_start":2},{"core:sample_start":4,"core:global_index":9},{"core:sample_start":4}""", false)]
    [InlineData("""{"core:sample_start":0},{"core:sample_start":5}""", true)]
    [InlineData("""{"core:sample_start":0},{"core:sample_start":4},{"core:sample_start":5}""", true)]
    public void Read_SegmentThatBeginsAtTheEnd_IsEmptyAndNoneIsMissing(string captures, bool truncated)
    {
        using var folder = new TempFolder();

        using RecordingReader reader = RecordingReader.Open(Foreign.Write(folder, "ru8", [1, 2, 3, 4], channels: 1, captures));

        Assert.Equal([1, 2, 3, 4], Foreign.ReadAll(reader).Codes);
        Assert.Equal(truncated, reader.IsTruncated);
        Assert.Equal(truncated, reader.Notes.Count > 0);
    }

    [Fact]
    public void Read_TruncatedData_WholeScansAndANote()
    {
        using var folder = new TempFolder();

        using RecordingReader reader = RecordingReader.Open(Foreign.Write(folder, "ru16_le", ThreeScans[..^1]));

        Assert.Equal([0, 1, 513, 65535], Foreign.ReadAll(reader).Codes);
        Assert.Contains("3 bytes", Assert.Single(reader.Notes), StringComparison.Ordinal);
        Assert.True(reader.IsTruncated);
    }

    [Fact]
    public void Read_SteadyState_AllocatesNothing()
    {
        using RecordingReader reader = RecordingReader.Open(Data("through"));
        ushort[] scans = new ushort[2 * 1_000];

        Allocations.AssertNone(() =>
        {
            if (reader.Read(scans).Kind == RecordingReadKind.End) reader.Rewind();
        }, runs: 400);
    }

    [Fact]
    public void Read_FileOver4GiB_PositionsAre64Bit()
    {
        using var folder = new TempFolder();
        const long HeaderBytes = 5L << 30, Scans = 3L << 30;
        string name = Foreign.Write(folder, "ru16_le", [0], 1,
            $$"""{"core:sample_start":0,"core:header_bytes":{{HeaderBytes}}},{"core:sample_start":1,"core:header_bytes":2},{"core:sample_start":{{Scans}},"core:global_index":{{Scans + 6}}}""",
            ""","core:dataset":"large.dat" """, dataName: "large.dat");
        using (FileStream data = File.OpenWrite(folder.File("large.dat")))
        {
            // Sparse: takes no room on disk.
            data.SetLength(HeaderBytes + 2 + (2 * (Scans + 1)));
            data.Position = HeaderBytes;
            data.Write([7, 0, 0xEE, 0xEE, 9, 0]);
        }

        using RecordingReader reader = RecordingReader.Open(name);
        ushort[] scans = new ushort[3];

        Assert.Equal(Scans + 1, reader.ScanCount);
        Assert.Equal(1, reader.Read(scans).Scans);
        Assert.Equal(7, scans[0]);
        Assert.Equal(3, reader.Read(scans).Scans);
        Assert.Equal([9, 0, 0], scans);
    }

    [Fact]
    public void Read_SpanWithoutRoomOrAfterDispose_Refused()
    {
        RecordingReader reader = RecordingReader.Open(Data("through"));

        Assert.Throws<ArgumentException>(() => reader.Read(new ushort[1]));
        reader.Dispose();
        Assert.Throws<ObjectDisposedException>(() => reader.Read(new ushort[2]));
    }
}
