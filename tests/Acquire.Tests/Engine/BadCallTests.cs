using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sources.Synthetic;

namespace Acquire.Tests.Engine;

/// <summary>A wrong call throws before anything has changed; no content of a span ever throws.</summary>
public class BadCallTests
{
    [Fact]
    public void Process_SpanThatIsNotWholeScans_ThrowsAndChangesNothing() =>
        AssertThrowsAndChangesNothing<ArgumentException>(e => e.Process(new ushort[7]), "7 words");

    [Fact]
    public void Process_SuspectSpanThatIsNotWholeScans_ThrowsAndChangesNothing() =>
        AssertThrowsAndChangesNothing<ArgumentException>(e => e.Process(new ushort[1], suspect: true), "1 words");

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(long.MinValue)]
    [InlineData(ScanGap.MostLostScans + 1)]
    [InlineData(long.MaxValue)]
    public void Skip_LessThanOneScanOrTooMany_ThrowsAndChangesNothing(long lost) =>
        AssertThrowsAndChangesNothing<ArgumentOutOfRangeException>(e => e.Skip(lost, GapCause.Link), lost.ToString());

    [Fact]
    public void Skip_MoreInAllThanAStreamLoses_ThrowsAndKeepsTheCount()
    {
        SweepEngine engine = Bench.Begin(out _);
        long before = engine.Accounting.Lost;

        engine.Skip(ScanGap.MostLostScans - before - 1, GapCause.Link);
        Assert.Throws<ArgumentOutOfRangeException>(() => engine.Skip(2, GapCause.Link));
        engine.Skip(1, GapCause.Link);

        Assert.Equal(ScanGap.MostLostScans, engine.Accounting.Lost);
    }

    [Theory]
    [InlineData(999)]
    [InlineData(-5)]
    [InlineData(long.MaxValue)]
    public void Mark_GoingBackOrBeyondTheNextScan_ThrowsAndChangesNothing(long position) =>
        AssertThrowsAndChangesNothing<ArgumentOutOfRangeException>(e => e.Mark(position, 3), position.ToString());

    [Fact]
    public void EveryCall_AfterComplete_Throws()
    {
        SweepEngine engine = Bench.Begin(out _);
        engine.Complete();
        ulong state = Bench.StateOf(engine);

        Assert.Throws<InvalidOperationException>(() => engine.Process(new ushort[2]));
        Assert.Throws<InvalidOperationException>(() => engine.Skip(1, GapCause.Link));
        Assert.Throws<InvalidOperationException>(() => engine.Break(GapCause.Reset));
        Assert.Throws<InvalidOperationException>(() => engine.Mark(0, 1));
        engine.Complete();
        Assert.Equal(state, Bench.StateOf(engine));
    }

    [Fact]
    public void Process_NoScans_ChangesNothing()
    {
        SweepEngine engine = Bench.Begin(out _);
        ulong state = Bench.StateOf(engine);

        engine.Process([]);

        Assert.Equal(state, Bench.StateOf(engine));
    }

    // Words of all kinds, codes beyond the bits among them: counted, never an index, never thrown.
    [Theory]
    [InlineData(Placement.Direct)]
    [InlineData(Placement.Fitted)]
    public void Process_AnyWords_NeverThrows(Placement placement)
    {
        foreach (ulong seed in Seeds.Of(12))
        {
            var random = new Random((int)seed);
            int bits = random.Next(1, 17), channels = random.Next(2, 9);
            ChannelRole[] roles = [.. Enumerable.Range(0, channels).Select(c => c == 0 ? ChannelRole.Ramp : c == 1 || random.Next(2) == 0 ? ChannelRole.Vertical : ChannelRole.Auxiliary)];
            if (channels > 2 && random.Next(2) == 0) roles[channels - 1] = ChannelRole.Blanking;
            random.Shuffle(roles);
            var setup = new Setup
            {
                Scan = new ScanFormat { Bits = bits, Roles = roles },
                Columns = new ColumnOptions { ColumnCount = random.Next(2, 500), Placement = placement, SkewScans = random.Next(2) * random.NextDouble() },
                Sweep = new() { Edges = random.Next(2) == 0 ? null : new(0, (1 << bits) - 1), Mode = (Acquire.Sweeps.SweepMode)random.Next(3), TimeSpan = 700 },
            };
            var engine = new SweepEngine(setup, new SweepRecord(keepsColumns: false), 1 << 12);
            long invalid = 0;
            for (int call = 0; call < 40; call++)
            {
                ushort[] words = new ushort[random.Next(400) * channels];
                // Ramps, noise and lines of one value, with words beyond the bits now and then.
                int kind = random.Next(4), beyond = random.Next(2) == 0 ? 0 : random.Next(1, 20), held = random.Next(65_536);
                for (int i = 0; i < words.Length; i++)
                {
                    int word = kind switch { 0 => random.Next(1 << bits), 1 => i / channels * 7 % (1 << bits), 2 => held & ((1 << bits) - 1), _ => random.Next(65_536) };
                    words[i] = (ushort)(beyond > 0 && random.Next(100) < beyond ? random.Next(65_536) : word);
                }

                for (int scan = 0; scan < words.Length; scan += channels)
                    if (words.AsSpan(scan, channels).ContainsAnyExceptInRange((ushort)0, (ushort)((1 << bits) - 1))) invalid++;
                engine.Process(words, suspect: random.Next(5) == 0);
                if (random.Next(6) == 0) engine.Skip(random.NextInt64(1, long.MaxValue / 1_000), GapCause.Overrun);
                if (random.Next(8) == 0) engine.Break(GapCause.Reset);
                AccountingTests.AssertAddsUp(engine.Accounting, $"seed {seed}, call {call}");
            }

            engine.Complete();
            AccountingTests.AssertAddsUp(engine.Accounting, $"seed {seed}, at the end");
            Assert.Equal(invalid, engine.Accounting.InvalidCodes);
        }
    }

    private static void AssertThrowsAndChangesNothing<T>(Action<SweepEngine> call, string told)
        where T : ArgumentException
    {
        SweepEngine engine = Bench.Begin(out ScanStream stream), untouched = Bench.Begin(out _);
        ulong state = Bench.StateOf(engine);

        T thrown = Assert.Throws<T>(() => call(engine));

        Assert.Contains(told, thrown.Message);
        Assert.Equal(state, Bench.StateOf(engine));
        // Nor has it changed what is not seen from outside: the rest of the stream gives the same.
        Bench.Finish(engine, stream);
        Bench.Finish(untouched, stream);
        Assert.Equal(Bench.StateOf(untouched), Bench.StateOf(engine));
    }

    private static class Bench
    {
        private const int Middle = 3_000;

        public static SweepEngine Begin(out ScanStream stream)
        {
            SyntheticOptions options = BenchKinds.Draw(BenchKind.Rising, 4) with { Scans = 6_000 };
            stream = ScanStream.Of(options);
            SweepEngine engine = Engines.For(options, learns: true, 1 << 13, 60);
            stream.Feed(engine, 0, Middle);
            engine.Mark(1_000, 1);
            return engine;
        }

        public static void Finish(SweepEngine engine, ScanStream stream)
        {
            stream.Feed(engine, Middle, stream.Scans);
            engine.Complete();
        }

        public static ulong StateOf(SweepEngine engine) =>
            (StateHash.Of(engine) * 31) + (ulong)(engine.Accounting, engine.Ramp, engine.Axis).GetHashCode();
    }
}
