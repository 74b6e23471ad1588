using Acquire.Bench.Link;

namespace Acquire.Link.Tests;

/// <summary>
/// On a bad line: no damaged frame is used; every intact frame whose place has not passed is; scans delivered and in gaps are those between the first and the
/// last frame used; every scan is the one sent at its position. The same trial as the benchmark program's <c>link-trial</c>, with fewer bits.
/// </summary>
public sealed class LinkTrialTests
{
    private const long Bits = 8_000_000;

    public static MatrixTheoryData<double, int> Lines { get; } = new([1e-7, 1e-6, 1e-5, 1e-4, 1e-3], [64, 256, 1_024]);

    [Theory]
    [MemberData(nameof(Lines))]
    public void Line_WithBitErrors_HoldsWhatIsPromised(double rate, int frameBytes)
    {
        LinkTrialResult result = LinkTrial.Run(new LinkTrialOptions { Bits = Bits, BitErrorRate = rate, FrameBytes = frameBytes, Packed = frameBytes != 256, Seed = 11 });

        Assert.Empty(result.Violations);
        Assert.Equal(0, result.DamagedUsed);
        Assert.True(result.ScansDelivered > 0 && result.CopiesIntact <= result.FramesSent);
        if (rate >= 1e-5) Assert.True(result.CopiesIntact < result.FramesSent, "The line did no damage.");
    }

    [Theory]
    [InlineData(64, 0.5)]
    [InlineData(256, 0.2)]
    [InlineData(1_024, 0.1)]
    public void Line_ThatInsertsDeletesRepeatsReordersAndAims_HoldsWhatIsPromised(int frameBytes, double blows)
    {
        LinkTrialResult result = LinkTrial.Run(new LinkTrialOptions { Bits = 2 * Bits, BitErrorRate = 1e-6, FrameBytes = frameBytes, BlowsPerFrame = blows, Seed = 12 });

        Assert.Empty(result.Violations);
        Assert.True(result.FramesUsed < result.CopiesIntact, "No frame came twice or late.");
    }

    [Theory]
    [InlineData(true, 0.1)]
    [InlineData(false, 0)]
    public void Device_ThatBeginsAnew_IsABreakEachTime(bool newRunNumbers, double blows)
    {
        LinkTrialResult result = LinkTrial.Run(new LinkTrialOptions
        {
            Bits = 2 * Bits,
            FrameBytes = 128,
            BlowsPerFrame = blows,
            ResetsPerFrame = 2e-3,
            NewRunNumbers = newRunNumbers,
            Packed = false,
            Seed = 13,
        });

        Assert.Empty(result.Violations);
        Assert.True(result.Breaks > 10);
    }
}
