using Acquire.Recordings.Tests.Doubles;

namespace Acquire.Recordings.Tests;

/// <summary>The standard's own sample recording, SigMF repository (CC BY-SA 4.0): ri16_le, 2 channels, 48 kHz, 288,000 scans.</summary>
/// <remarks>The numbers were computed from the data file by an independent program.</remarks>
public sealed class ReferenceRecordingTests
{
    private static int Signed(ushort code) => code - 32_768;

    private static RecordingReader Open() =>
        RecordingReader.Open(Shared.File("sigmf/sigmf_logo.sigmf-meta"), new RecordingOptions { VerifyHash = true });

    [Fact]
    public void Metadata_AsStated()
    {
        using RecordingReader reader = Open();

        Assert.Equal((288_000, 2, 48_000.0, 16, "ri16_le"),
            (reader.ScanCount, reader.ChannelCount, reader.ScanRateHz, reader.Bits, reader.WordName));
        Assert.Equal("The Official SigMF Logo", reader.Description);
        Assert.Equal(new DateTimeOffset(2021, 6, 18, 23, 17, 51, TimeSpan.Zero).AddTicks(1_639_590), reader.Started);
        Assert.Equal(
            [new RecordingAnnotation(6_000, 42_000, null, "logo warmup"), new(48_000, 138_000, null, "logo spinup"), new(186_000, 96_000, null, "logo steady")],
            reader.Annotations);
        Assert.Empty(reader.Notes);
    }

    [Fact]
    public void Scans_SumsAndExtremesAreThoseOfTheFile()
    {
        using RecordingReader reader = Open();
        int[] words = [.. Foreign.ReadAll(reader, 4_096).Codes.Select(Signed)];

        Assert.Equal([-1, 0, 2, 0, -2, 0, 2, 1], words[..8]);
        Assert.Equal([8819, -2067], words[200_000..200_002]);
        Assert.Equal([6135, 3352], words[400_000..400_002]);
        long[] sums = [-14_266_661, 347_585_780], squares = [8_350_442_399_863, 8_331_230_732_952];
        int[] least = [-10_872, -10_409], most = [10_550, 11_363];
        for (int channel = 0; channel < 2; channel++)
        {
            int[] one = [.. words.Where((_, i) => i % 2 == channel)];
            Assert.Equal((least[channel], most[channel], sums[channel], squares[channel]),
                (one.Min(), one.Max(), one.Sum(w => (long)w), one.Sum(w => (long)w * w)));
        }

        int[] steady = words[(2 * 186_000)..(2 * 282_000)];
        int[] x = [.. steady.Where((_, i) => i % 2 == 0)], y = [.. steady.Where((_, i) => i % 2 == 1)];
        Assert.Equal((-10_002, 10_114, 38_870_945), (x.Min(), x.Max(), x.Sum(w => (long)w)));
        Assert.Equal((-10_409, 11_328, 19_189_828), (y.Min(), y.Max(), y.Sum(w => (long)w)));
    }

    [Fact]
    public void SelectedChannel_TenEqualColumns()
    {
        using RecordingReader reader = RecordingReader.Open(Shared.File("sigmf/sigmf_logo.sigmf-meta"), new RecordingOptions { Channels = [0] });
        int[] words = [.. Foreign.ReadAll(reader, 1_000).Codes.Select(Signed)];

        Assert.Equal([10161, 10206, 10186, 10140, 10021, 10497, 10550, 10027, 10114, 9925], words.Chunk(28_800).Select(c => c.Max()));
        Assert.Equal([-9586, -9558, -10043, -9849, -9658, -10830, -10872, -10002, -9788, -9564], words.Chunk(28_800).Select(c => c.Min()));
    }
}
