using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Tests.Engine;

/// <summary>How many columns a video delay leaves without readings at the end of a sweep.</summary>
public class DelayTailTests
{
    // 39 columns of 100 codes, 25 scans each, from 100 to 4,000. The ramp runs from 50 to 4,046, beyond both edges, and the last of 1,000 readings
    // belongs to the ramp 60 scans before its end, at 3,806: column 37, and column 38 has none. Falling ramps are the same in the mirror.
    [Theory]
    [InlineData(false, 60, 1)]
    [InlineData(true, 60, 1)]
    [InlineData(false, 110, 3)]
    [InlineData(true, 110, 3)]
    [InlineData(false, 5, 0)]
    public void DelayTailColumns_RampBeyondItsEdge_AreTheColumnsWithoutReadings(bool falls, int delayScans, int tail)
    {
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(
            new Setup
            {
                Scan = new ScanFormat { ScanRateHz = 1_000 },
                Sweep = new SweepOptions { Edges = falls ? new(95, 3_995) : new(100, 4_000) },
                Columns = new ColumnOptions { ColumnCount = 39, Placement = Placement.Direct, VideoDelaySeconds = delayScans / 1_000.0 },
            },
            sweeps, 1 << 13);
        for (int sweep = 0; sweep < 3; sweep++)
        {
            for (int i = 0; i < 1_000; i++) Take(50 + (4 * i));
            for (int i = 0; i < 100; i++) Take(4_050 - (40 * i));
        }

        engine.Complete();

        Assert.Equal(3, sweeps.Sweeps.Count);
        foreach (SweepRecord.Kept sweep in sweeps.Sweeps)
        {
            Assert.Equal(tail, sweep.Info.DelayTailColumns);
            for (int c = 39 - tail; c < 39; c++) Assert.Equal(0, sweep.Verticals[0].Counts[c]);
            Assert.NotEqual(0, sweep.Verticals[0].Counts[38 - tail]);
        }

        void Take(int code) => engine.Process([(ushort)(falls ? 4_095 - code : code), 7]);
    }
}
