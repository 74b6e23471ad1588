using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sweeps;
using Acquire.Tests.Engine;
using Acquire.Tests.Models;

namespace Acquire.Tests.Sweeps;

/// <summary>A multiplexer adds a share of the vertical to the ramp, or takes it from the ramp where one of both falls: each response is then a bump or a dip of the ramp.</summary>
public sealed class CrosstalkTests
{
    private static int Seeds => int.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_SEEDS"), out int n) ? n : 60;

    // Narrow and high bumps look like a jump, wide ones like a flyback, as every dip does.
    [Theory]
    [InlineData(0.01, 0.03, 0.0005, 0.01)]
    [InlineData(0.03, 0.08, 0.0005, 0.008)]
    [InlineData(0.08, 0.12, 0.0005, 0.003)]
    [InlineData(-0.03, -0.01, 0.0005, 0.01)]
    [InlineData(-0.05, -0.03, 0.0005, 0.008)]
    [InlineData(-0.12, -0.05, 0.0005, 0.003)]
    public void Tracker_Response_SweepGoesOn(double leastHeight, double mostHeight, double leastWidth, double mostWidth) =>
        AssertOneResponse(400, (0.15, 0.85), (leastHeight, mostHeight), (leastWidth, mostWidth));

    // Soon after the start there is little of a line to tell it by; a dip must leave the ramp above where the sweep began.
    [Theory]
    [InlineData(0.01, 0.05)]
    [InlineData(-0.02, -0.01)]
    public void Tracker_ResponseInTheFirstTenth_SweepGoesOn(double leastHeight, double mostHeight) =>
        AssertOneResponse(600, (0.045, 0.1), (leastHeight, mostHeight), (0.0005, 0.002));

    // The line before a second one has the first in it: of a sweep of few scans sometimes unnoticed, where that lasts two or three.
    [Theory]
    [InlineData(0.02, 0.05)]
    [InlineData(-0.05, -0.02)]
    public void Tracker_ResponsesSideBySide_SweepGoesOn(double leastHeight, double mostHeight)
    {
        int sweeps = 0, split = 0;
        for (int seed = 0; seed < Seeds; seed++)
        {
            Random random = new(seed);
            double sweep = random.Log(600, 6_000), at = random.Between(0.15, 0.6), width = random.Log(0.0005, 0.002);
            PiecedRamp ramp = Ramp(random, falls: seed % 2 == 0, [.. Enumerable.Range(0, 4).Select(i => (at + (i * random.Between(0.04, 0.08)), random.Between(leastHeight, mostHeight), width))]);
            ramp.AddPlain(sweeps: 6, sweep);

            CollectedSweeps found = CollectedSweeps.Of(ramp);

            sweeps += ramp.Sweeps.Count;
            split += ramp.Sweeps.Count(t => !found.Ended.Any(s => IsWhole(ramp, sweep, s, t)));
        }

        Assert.True(split <= 0.02 * sweeps, $"{split} of {sweeps} are not whole.");
    }

    // The response itself is drawn where the ramp would have been: it is what the user looks at. What it would move the ramp by, its height, is left to a tenth.
    [Theory]
    [InlineData(0.01)]
    [InlineData(0.03)]
    [InlineData(-0.03)]
    [InlineData(-0.05)]
    public void Course_Response_GoesOnAlongItsLine(double height)
    {
        double squares = 0;
        long scans = 0;
        for (int seed = 0; seed < Seeds; seed++)
        {
            Random random = new(seed);
            double sweep = random.Log(2_000, 20_000), at = random.Between(0.15, 0.85), width = random.Log(0.0005, 0.005);
            PiecedRamp ramp = Ramp(random, falls: false, (at, height, width));
            ramp.AddPlain(sweeps: 3, sweep);

            ushort[] codes = [.. ramp.Codes()];
            double[] courses = CollectedSweeps.Of(codes, new CollectedSweeps { Courses = new double[codes.Length] }).Courses;

            foreach ((long start, _) in ramp.Sweeps)
            {
                for (long scan = start + (long)((at - (2 * width)) * sweep); scan < start + ((at + (2 * width)) * sweep); scan++)
                {
                    double placed = double.IsNaN(courses[scan]) ? codes[scan] : courses[scan];
                    double columns = (placed - ramp.CodeAt((scan - start) / sweep)) / ramp.SpanCodes * 1_000;
                    squares += columns * columns;
                    scans++;
                }
            }
        }

        Assert.InRange(Math.Sqrt(squares / scans), 0, 0.1 * Math.Abs(height) * 1_000);
    }

    [Fact]
    public void Blocks_Responses_LeaveTheBitsOfSingleScans()
    {
        for (int seed = 0; seed < 40; seed++)
        {
            Random random = new(seed);
            PiecedRamp ramp = Ramp(random, falls: seed % 2 == 0, [.. Enumerable.Range(0, 1 + (seed % 3)).Select(_ => (random.Between(0.05, 0.95), random.Between(-0.2, 0.2), random.Log(0.0005, 0.01)))]);
            ramp.AddPlain(sweeps: 6, random.Log(400, 12_000));
            var stream = new ScanStream(new ScanFormat { Bits = 12 });
            foreach (ushort code in ramp.Codes()) stream.Add(code, (ushort)random.Next(PiecedRamp.FullCode + 1));
            Placement placement = seed % 3 == 0 ? Placement.Direct : Placement.Fitted;
            Setup setup = new() { Scan = stream.Format, Columns = new ColumnOptions { Placement = placement, Domains = [] } };

            BothPaths.AssertSame(stream, setup, historyScans: 1 << random.Next(13, 18), () => random.Next(1, 2_500), $"Seed {seed}");
        }
    }

    // What jumps and stays there is neither bump nor dip: somebody has turned the position, or scans are missing that nobody has told of.
    [Theory]
    [InlineData(0.08, 0.2)]
    [InlineData(-0.2, -0.08)]
    public void Tracker_JumpThatStays_EndsTheSweepWhereItJumps(double leastJump, double mostJump)
    {
        for (int seed = 0; seed < Seeds; seed++)
        {
            Random random = new(seed);
            double sweep = random.Log(400, 6_000), at = random.Between(0.3, 0.7), jump = random.Between(leastJump, mostJump);
            PiecedRamp ramp = Ramp(random, falls: seed % 2 == 0);
            ramp.AddPlain(sweeps: 4, sweep);
            long begins = ramp.ScanCount;
            ramp.Add(at * sweep, 0, at);
            long jumps = ramp.ScanCount;
            ramp.Add((1 - at - jump) * sweep, at + jump, 1);
            ramp.Add(0.1 * sweep, 1, 0);
            ramp.Add(0.2 * sweep, 0, 0);
            ramp.AddPlain(sweeps: 2, sweep);

            CollectedSweeps found = CollectedSweeps.Of(ramp);

            TrackedSweep cut = Assert.Single(found.Ended, s => s.EndReason == SweepEnd.Abort && Math.Abs(s.StartScan - begins) <= ramp.LimitScans(sweep));
            Assert.InRange(cut.EndScan, jumps - ramp.LimitScans(sweep), jumps + ramp.LimitScans(sweep));
            Assert.Equal(6, found.Ended.Count(s => s.EndReason == SweepEnd.Retrace && s.StartReason == SweepStart.Ramp && ramp.Sweeps.Any(t => Math.Abs(t.Start - s.StartScan) <= ramp.LimitScans(sweep))));
        }
    }

    // What falls back a little and rests there, or falls on to where sweeps begin, has flown back: it ends where it fell.
    [Theory]
    [InlineData(0.2)]
    [InlineData(1)]
    public void Tracker_AbortedSweep_EndsWhereItFalls(double shareBack)
    {
        for (int seed = 0; seed < Seeds; seed++)
        {
            Random random = new(seed);
            double sweep = random.Log(400, 6_000), at = random.Between(0.3, 0.8);
            PiecedRamp ramp = Ramp(random, falls: seed % 2 == 0);
            ramp.AddPlain(sweeps: 4, sweep);
            long begins = ramp.ScanCount;
            ramp.Add(at * sweep, 0, at);
            long falls = ramp.ScanCount;
            double level = at * (1 - shareBack);
            ramp.Add(Math.Max(2.5, 0.02 * sweep), at, level);
            ramp.Add(0.1 * sweep, level, level);
            ramp.Add(0.1 * sweep, level, 0);
            ramp.AddPlain(sweeps: 2, sweep);

            CollectedSweeps found = CollectedSweeps.Of(ramp);

            TrackedSweep cut = Assert.Single(found.Ended, s => s.EndReason == SweepEnd.Abort);
            Assert.InRange(cut.StartScan, begins - ramp.LimitScans(sweep), begins + ramp.LimitScans(sweep));
            Assert.InRange(cut.EndScan, falls - ramp.LimitScans(sweep), falls + ramp.LimitScans(sweep));
            Assert.Equal(6, found.Ended.Count(s => s.EndReason == SweepEnd.Retrace));
        }
    }

    // The next sweep crosses the line of the one before, and goes on.
    [Fact]
    public void Tracker_AbortedSweepBeforeFasterOnes_EndsWhereItFalls()
    {
        for (int seed = 0; seed < Seeds; seed++)
        {
            Random random = new(seed);
            double sweep = random.Log(1_000, 6_000), fast = random.Log(45, 200), at = random.Between(0.12, 0.3);
            PiecedRamp ramp = Ramp(random, falls: seed % 2 == 0);
            ramp.AddPlain(sweeps: 4, sweep);
            long falls = ramp.ScanCount + (long)(at * sweep);
            ramp.Add(at * sweep, 0, at);
            for (int i = 0; i < 4; i++)
            {
                ramp.Add(2.5, i == 0 ? at : 1, 0);
                ramp.AddSweep(fast);
            }

            ramp.Add(3, 1, 0);
            ramp.AddPlain(sweeps: 2, sweep);

            CollectedSweeps found = CollectedSweeps.Of(ramp);

            TrackedSweep cut = Assert.Single(found.Ended, s => s.EndReason == SweepEnd.Abort);
            Assert.InRange(cut.EndScan, falls - ramp.LimitScans(sweep), falls + ramp.LimitScans(sweep));
            Assert.Equal(ramp.Sweeps.Count, found.Ended.Count(s => s.EndReason == SweepEnd.Retrace));
        }
    }

    private static PiecedRamp Ramp(Random random, bool falls, params (double At, double Height, double Width)[] responses) =>
        new(0.1, random.Between(0.75, 0.95), random.Log(0.3, 1.5), falls, random) { Crosstalk = responses };

    private static void AssertOneResponse(double fewestScans, (double Least, double Most) at, (double Least, double Most) height, (double Least, double Most) width)
    {
        for (int seed = 0; seed < Seeds; seed++)
        {
            Random random = new(seed);
            double sweep = random.Log(fewestScans, 6_000);
            (double At, double Height, double Width) response = (random.Between(at.Least, at.Most), random.Between(height.Least, height.Most), random.Log(width.Least, width.Most));
            PiecedRamp ramp = Ramp(random, falls: seed % 2 == 0, response);
            ramp.AddPlain(sweeps: 6, sweep);

            CollectedSweeps found = CollectedSweeps.Of(ramp);

            Assert.True(ramp.Sweeps.Count == found.Ended.Count, $"seed {seed}, {response}: {found.Ended.Count} sweeps.");
            Assert.All(found.Ended.Zip(ramp.Sweeps), s => Assert.True(
                IsWhole(ramp, sweep, s.First, s.Second), $"seed {seed}, {response}: {s.First.StartScan}-{s.First.EndScan} {s.First.EndReason} instead of {s.Second}."));
        }
    }

    private static bool IsWhole(PiecedRamp ramp, double sweepScans, TrackedSweep got, (long Start, long End) truth) =>
        got.EndReason == SweepEnd.Retrace && Math.Max(Math.Abs(got.StartScan - truth.Start), Math.Abs(got.EndScan - truth.End)) <= ramp.LimitScans(sweepScans);
}
