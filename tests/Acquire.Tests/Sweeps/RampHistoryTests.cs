using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>Sums over any stretch are those of its scans, however these entered and whatever was asked for before.</summary>
public sealed class RampHistoryTests
{
    private const int Full = 4_095;
    private const int Capacity = 1 << 12;

    [Fact]
    public void Fit_RunWithinABlock_IsThatOfItsScans()
    {
        // Two pieces from a block's second on: their middle is a multiple of their length, and no sum is kept there.
        Model model = new(seed: 1);
        model.Enter(128 + 16, single: true);
        model.Enter(32, single: false);
        model.Enter(64, single: true);

        model.AssertFits(143, 159);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void Fit_AnyRuns_IsThatOfItsScans(int seed)
    {
        Random random = new(seed);
        Model model = new(seed);
        model.Enter(128, single: true);
        for (int turn = 0; turn < 2_000; turn++)
        {
            int place = (int)((model.History.End + 1) % ScanBlock.Scans), room = ScanBlock.Scans - place;
            bool single = random.Next(3) == 0;
            // A run lies within a block, or goes up to a block's end.
            int pieces = room / ScanBlock.Piece, scans = random.Next(1, pieces + 1) * ScanBlock.Piece;
            if (!single && random.Next(3) == 0) scans = (pieces * ScanBlock.Piece) + (random.Next(4) * ScanBlock.Scans);
            model.Enter(scans, single);
            for (int i = random.Next(4); i > 0; i--)
            {
                long oldest = model.History.Oldest, from = random.NextInt64(oldest, model.History.End);
                model.AssertFits(from, random.NextInt64(from + 1, Math.Min(model.History.End, from + random.Next(1, 400)) + 1));
            }
        }
    }

    [Fact]
    public void Fit_InTheLastBlockAsItGrows_IsThatOfItsScans()
    {
        Model model = new(seed: 5);
        model.Enter(2, single: true);
        for (int scan = 1; scan < 300; scan++)
        {
            long end = model.History.End;
            // More than one of a block, so that its sums are kept; then those behind them.
            for (long from = Math.Max(0, end - 70); from < end; from += 7) model.AssertFits(from, end);
            model.AssertFits(end - 1, end);
            model.Enter(1, single: true);
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(15)]
    [InlineData(16)]
    [InlineData(17)]
    [InlineData(64)]
    [InlineData(100)]
    [InlineData(700)]
    public void Means_BlocksOfAnyLength_AreThoseOfEach(int block)
    {
        Model model = new(seed: 6);
        model.Enter(Capacity + 900, single: true);
        double[] means = new double[Math.Min(40, 2_000 / block)];
        // Also around the end of the memory, and up to the last scan.
        foreach (long from in (long[])[model.History.Oldest, Capacity - (block * (long)means.Length), Capacity - 40, model.History.End - (block * means.Length)])
        {
            if (from < model.History.Oldest || from + (block * means.Length) > model.History.End) continue;
            model.History.Means(from, block, means);
            Assert.All(means, (mean, i) => Assert.Equal(model.MeanOf(from + (i * block), block), mean));
        }
    }

    private sealed class Model(int seed)
    {
        private readonly List<ushort> _codes = [];
        private readonly Random _random = new(seed);

        public RampHistory History { get; } = new(Full, Capacity);

        public void Enter(int scans, bool single)
        {
            // Near to each other: none is a spike.
            ushort[] codes = [.. Enumerable.Range(0, scans).Select(_ => (ushort)_random.Next(2_000, 2_003))];
            if (single)
            {
                foreach (ushort code in codes) History.Push(code);
                _codes.AddRange(codes);
                return;
            }

            ushort[] entering = [History.Pending!.Value, .. codes[..^1]];
            RampRun.Sums(ref entering[0], scans, out RampRun run);
            History.EnterRun(entering, run, codes[^1]);
            _codes.AddRange(codes);
        }

        public double MeanOf(long from, int scans) => _codes.Skip((int)from).Take(scans).Sum(code => (double)code) / scans;

        public void AssertFits(long from, long to)
        {
            int n = (int)(to - from);
            ReadOnlySpan<ushort> codes = System.Runtime.InteropServices.CollectionsMarshal.AsSpan(_codes).Slice((int)from, n);
            long sum = 0, moment = 0;
            for (int i = 0; i < n; i++)
            {
                sum += codes[i];
                moment += (long)i * codes[i];
            }

            LineFit fit = History.UpTo(from).LineTo(History.UpTo(to), out double mean);
            Assert.Equal(fit, History.Fit(from, to));

            Assert.Equal((double)sum / n, mean);
            Assert.Equal(sum, History.Sum(from, to));
            if (n > 1) Assert.Equal(((2.0 * moment) - ((n - 1.0) * sum)) * 6 / (n * (((double)n * n) - 1)), fit.Slope);
            double[] means = new double[Math.Max(1, n / 3)];
            History.Means(from, Math.Min(n, 3), means);
            for (int i = 0; i < means.Length; i++) Assert.Equal(History.Mean(from + (i * Math.Min(n, 3)), from + ((i + 1) * Math.Min(n, 3))), means[i]);
        }
    }
}
