using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Tests.Engine;

/// <summary>Both ways through ramps that no instrument makes: pieces of anything, in a history that holds but a part of them.</summary>
public class WildPathTests
{
    [Fact]
    public void Blocks_PiecesOfAnything_LeaveTheBitsOfSingleScans()
    {
        foreach (ulong seed in Seeds.Of(100))
        {
            var random = new Random((int)seed);
            ScanStream stream = Draw(random, scans: 30_000);
            Setup setup = new()
            {
                Scan = stream.Format,
                Columns = new ColumnOptions
                {
                    ColumnCount = random.Next(3) == 0 ? 1_000 : random.Next(2, 3_000),
                    Placement = random.Next(2) == 0 ? Placement.Direct : Placement.Fitted,
                    Domains = [],
                },
                Sweep = new SweepOptions { Direction = random.Next(4) switch { 0 => RampDirection.Rising, 1 => RampDirection.Falling, 2 => RampDirection.Both, _ => RampDirection.Auto } },
            };
            BothPaths.AssertSame(stream, setup, historyScans: 1 << random.Next(12, 15), () => random.Next(1, 2_500), $"Seed {seed}");
        }
    }

    private static ScanStream Draw(Random random, int scans)
    {
        int bits = random.Next(3) == 0 ? 16 : random.Next(8, 15), full = (1 << bits) - 1;
        var stream = new ScanStream(new ScanFormat { Bits = bits });
        // Some sweeps at first, so that there is a ramp to be followed.
        double period = random.Next(200, 4_000), noise = random.NextDouble() * full / 500, level = random.Next(full);
        while (stream.Scans < scans)
        {
            bool tame = stream.Scans < scans / 3 || random.Next(3) > 0;
            double n = tame ? period : random.Next(1, 3_000), from = tame ? full * 0.02 : random.Next(3) == 0 ? random.Next(full) : level;
            double to = tame ? full * 0.97 : random.Next(3) == 0 ? from : random.Next(full);
            for (int i = 0; i < n; i++)
            {
                level = from + ((to - from) * i / n);
                double code = level + (noise * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5));
                if (random.Next(3_000) == 0) code = random.Next(full);
                ushort ramp = random.Next(9_000) == 0 ? ushort.MaxValue : (ushort)Math.Clamp(Math.Round(code), 0, full);
                stream.Add(ramp, random.Next(9_000) == 0 ? ushort.MaxValue : (ushort)random.Next(full + 1));
            }

            if (random.Next(12) == 0) stream.Lose(random.Next(1, 500));
            if (random.Next(16) == 0) stream.Break();
        }

        return stream;
    }
}
