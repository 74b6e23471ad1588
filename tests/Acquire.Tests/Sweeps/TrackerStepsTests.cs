using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>Going back is bounded: whatever the ramp does, the tracker's work grows with the number of scans and no faster.</summary>
public class TrackerStepsTests
{
    private const int Full = 4_095, History = 1 << 14;

    [Theory]
    [InlineData(RampDirection.Auto)]
    [InlineData(RampDirection.Rising)]
    [InlineData(RampDirection.Both)]
    public void Tracker_PatchworkOfEverything_TakesBoundedSteps(RampDirection direction)
    {
        int patchworks = int.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_SEEDS"), out int n) ? n : 20, found = 0;
        for (int seed = 0; seed < patchworks; seed++)
        {
            var random = new Random(seed);
            var listener = new Quiet();
            SweepTracker tracker = new(direction, Full, given: null, listener, History);
            long scans = 0;
            bool gaps = random.Next(2) == 0;
            while (scans < 200_000)
            {
                ushort[] piece = Piece(random);
                int times = random.Next(3) == 0 ? random.Next(2, 40) : 1;
                for (int t = 0; t < times; t++)
                    foreach (ushort code in piece) tracker.Push(code);
                scans += (long)piece.Length * times;
                if (gaps && random.Next(4) == 0) tracker.EndSegment(random.Next(2) == 0 ? SweepEnd.Gap : SweepEnd.Break, random.Next(1, 5_000));
            }

            tracker.Complete();
            found += listener.Began;
            // Learning anew is paid from 8 steps a scan and 8 histories, two thirds of it for the two who follow; what came in while it
            // learnt is gone through twice more; each who follows goes back four times as far as it comes, and four histories.
            double followed = scans + (2.0 / 3 * 8 * (scans + History)) + (2 * scans);
            double most = (5 * followed) + (2 * 4 * History);
            Assert.True(tracker.Steps <= most, $"{direction}, patchwork {seed}: {tracker.Steps} steps for {scans} scans; at most {most:0}.");
        }

        Assert.True(found > patchworks);
    }

    private static ushort[] Piece(Random random)
    {
        int length = (int)Math.Exp(random.NextDouble() * Math.Log(6_000)) + 1;
        double from = random.NextDouble() * Full, to = random.NextDouble() * Full, noise = random.Next(2) == 0 ? 0 : Math.Exp(random.NextDouble() * 5);
        double turns = random.NextDouble() * 6, walk = from;
        int kind = random.Next(7);
        ushort[] codes = new ushort[length];
        for (int i = 0; i < length; i++)
        {
            double share = (double)i / length;
            walk += (random.NextDouble() - 0.5) * 40;
            double level = kind switch
            {
                0 => from,
                1 or 2 => from + ((to - from) * share),
                3 => from + ((to - from) * Math.Sqrt(share)),
                4 => (Full / 2.0) + (from / 2 * Math.Sin(2 * Math.PI * turns * share)),
                5 => walk,
                _ => i % 2 == 0 ? from : to,
            };
            codes[i] = (ushort)Math.Clamp(level + (noise * (random.NextDouble() - 0.5)), 0, Full);
        }

        return codes;
    }

    private sealed class Quiet : ITrackerListener
    {
        public int Began { get; private set; }

        public void Locked(in RampLock found, long from, bool provisional)
        {
        }

        public void SweepBegan(long scan, SweepStart reason, bool rising) => Began++;

        public void PlacePast(long to, LineFit course, long end)
        {
        }

        public void Place(long scan, double course, double slope)
        {
        }

        public void Confirm(long scan)
        {
        }

        public void SweepEnded(in TrackedSweep sweep)
        {
        }

        public void SegmentEnded(long end, long retraceEnd)
        {
        }

        public void SweepCancelled()
        {
        }

        public void InSweep(long scan)
        {
        }
    }
}
