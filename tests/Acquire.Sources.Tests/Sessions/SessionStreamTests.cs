using Acquire.Capture;
using Acquire.Sources.Sessions;
using Acquire.Sources.Synthetic;
using Acquire.Sources.Tests.Doubles;
using CsCheck;

namespace Acquire.Sources.Tests.Sessions;

/// <summary>What goes in with any losses and marks, cut anywhere, comes out as if the engine had been called directly.</summary>
public class SessionStreamTests
{
    private static readonly SyntheticOptions Options = Benches.Of(sweeps: 12);
    private static readonly Setup Setup = Benches.SetupOf(Options);
    private static readonly ushort[] Scans = Benches.ScansOf(Options);

    private enum Step
    {
        Take,
        Skip,
        Break,
        Mark,
    }

    [Fact]
    public void Session_AnyStream_FindsWhatTheEngineAloneFinds()
    {
        Gen<(Step Step, int Count)> step = Gen.Select(
            Gen.Frequency((6, Gen.Const(Step.Take)), (1, Gen.Const(Step.Skip)), (1, Gen.Const(Step.Break)), (1, Gen.Const(Step.Mark))),
            Gen.Int[1, 900],
            (kind, count) => (kind, count));
        Gen.Select(step.Array[1, 60], Gen.Int[1, 700]).Sample(
            (steps, scansPerHalf) =>
            {
                (KeptSweeps alone, Accounting accounting) = RunAlone(steps);
                (List<string> sweeps, SessionCounts counts) = RunSession(steps, scansPerHalf);
                return alone.Sweeps.SequenceEqual(sweeps) && accounting == counts.Accounting;
            },
            iter: 60);
    }

    [Fact]
    public async Task Session_EndsInLosses_CountsThem()
    {
        ScriptSource source = new((receiver, _) =>
        {
            receiver.Take(Scans.AsSpan(0, 2 * 100));
            receiver.Skip(17, GapCause.Link);
            receiver.Break(GapCause.Link, 5);
            receiver.Skip(4, GapCause.Overrun);
        });

        await using AcquisitionSession session = AcquisitionSession.Start(source, Setup);
        await session.Completion.WaitAsync(TimeSpan.FromSeconds(20));

        Assert.Equal(100, session.Counts.Accounting.Scans);
        Assert.Equal(21, session.Counts.Accounting.Lost);
        Assert.Equal(1, session.Counts.Accounting.Breaks);
        Assert.Equal(5, session.Counts.LostInBreaksAtLeast);
    }

    [Fact]
    public async Task Session_ManyLossesInOneHalf_AreAllInTheirPlaces()
    {
        const int Gaps = 1_000;
        ScriptSource source = new((receiver, _) =>
        {
            for (int i = 0; i < Gaps; i++)
            {
                receiver.Take(Scans.AsSpan(2 * i, 2));
                receiver.Skip(1, GapCause.Link);
            }
        });

        await using AcquisitionSession session = AcquisitionSession.Start(source, Setup);
        await session.Completion.WaitAsync(TimeSpan.FromSeconds(20));

        Assert.Equal(Gaps, session.Counts.Accounting.Scans);
        Assert.Equal(Gaps, session.Counts.Accounting.Lost);
    }

    [Fact]
    public async Task Session_WordThatIsSaidAgain_BeginsNoSection()
    {
        ScriptSource source = new((receiver, _) =>
        {
            for (int at = 0; at < Scans.Length; at += 2 * 1_000)
            {
                receiver.Mark(at / 2, (ushort)(at < Scans.Length / 2 ? 7 : 8));
                receiver.Take(Scans.AsSpan(at, Math.Min(2 * 1_000, Scans.Length - at)));
            }
        });

        await using AcquisitionSession session = AcquisitionSession.Start(source, Setup, new SessionOptions { MostSweeps = 1_000 });
        await session.Completion.WaitAsync(TimeSpan.FromSeconds(20));

        List<int> sections = [];
        while (session.Sweeps.TryRead(out SweepReport? report))
            using (report) sections.Add(report.Info.Section);
        Assert.Equal([1, 2], sections.Distinct());
    }

    [Fact]
    public async Task Session_WordsAreNoWholeScans_IsAFaultThatSaysSo()
    {
        await using AcquisitionSession session = AcquisitionSession.Start(new ScriptSource((receiver, _) => receiver.Take([1, 2, 3])), Setup);

        ArgumentException fault = await Assert.ThrowsAsync<ArgumentException>(() => session.Completion.WaitAsync(TimeSpan.FromSeconds(20)));

        Assert.Contains("3 words", fault.Message, StringComparison.Ordinal);
    }

    private static (KeptSweeps Kept, Accounting Accounting) RunAlone((Step Step, int Count)[] steps)
    {
        KeptSweeps kept = new();
        SweepEngine engine = new(Setup, kept);
        long scans = 0, position = 0;
        int word = -1;
        bool broken = false;
        foreach ((Step step, int count) in steps)
        {
            switch (step)
            {
                case Step.Take:
                    broken = false;
                    ushort[] taken = Next(ref scans, count);
                    engine.Process(taken);
                    position += taken.Length / 2;
                    break;
                case Step.Skip:
                    engine.Skip(count, GapCause.Link);
                    position += count;
                    break;
                case Step.Break:
                    // With no scan between the two, a second break is the same unknown again.
                    if (broken) break;
                    engine.Break(GapCause.Reset);
                    broken = true;
                    word = -1;
                    break;
                default:
                    // A word that is said again changes nothing.
                    if (word != count) engine.Mark(position, (ushort)count);
                    word = count;
                    break;
            }
        }

        engine.Complete();
        return (kept, engine.Accounting);
    }

    private static (List<string> Sweeps, SessionCounts Counts) RunSession((Step Step, int Count)[] steps, int scansPerHalf)
    {
        ScriptSource source = new((receiver, _) =>
        {
            long scans = 0, position = 0;
            foreach ((Step step, int count) in steps)
            {
                switch (step)
                {
                    case Step.Take:
                        ushort[] taken = Next(ref scans, count);
                        receiver.Take(taken);
                        position += taken.Length / 2;
                        break;
                    case Step.Skip:
                        receiver.Skip(count, GapCause.Link);
                        position += count;
                        break;
                    case Step.Break:
                        receiver.Break(GapCause.Reset, 0);
                        break;
                    default:
                        receiver.Mark(position, (ushort)count);
                        break;
                }
            }
        });
        AcquisitionSession session = AcquisitionSession.Start(source, Setup, new SessionOptions { ScansPerHalf = scansPerHalf, MostSweeps = 1_000 });
        Assert.True(session.Completion.Wait(TimeSpan.FromSeconds(20)));
        List<string> sweeps = [];
        while (session.Sweeps.TryRead(out SweepReport? report))
            using (report) sweeps.Add(KeptSweeps.TextOf(report));
        SessionCounts counts = session.Counts;
        Assert.True(session.DisposeAsync().AsTask().Wait(TimeSpan.FromSeconds(20)));
        return (sweeps, counts);
    }

    // The bench's scans, from the start again when they are used up.
    private static ushort[] Next(ref long scans, int count)
    {
        int first = (int)(scans % (Scans.Length / 2));
        int taken = Math.Min(count, (Scans.Length / 2) - first);
        scans += taken;
        return Scans[(2 * first)..(2 * (first + taken))];
    }
}
