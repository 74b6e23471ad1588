using Acquire.Sources.Sessions;
using Acquire.Sources.Synthetic;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Sessions;

/// <summary>Sessions that end in any way at any moment: nothing hangs, no sweep comes twice or is missing without being counted.</summary>
[Collection(nameof(Alone))]
public class SessionStressTests
{
    private const int Seeds = 200;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);
    private static readonly SyntheticOptions Options = Benches.Of(sweeps: 12);
    private static readonly Setup Setup = Benches.SetupOf(Options);
    private static readonly ushort[] Scans = Benches.ScansOf(Options);

    private enum Ending
    {
        Source,
        Fault,
        Stop,
        Dispose,
    }

    [Fact]
    public async Task Session_EndedAnyWayAtAnyMoment_AccountsForEverySweep()
    {
        for (int seed = 0; seed < Seeds; seed++)
        {
            try
            {
                await Round(new Random(seed)).WaitAsync(Patience);
            }
            catch (Exception exception)
            {
                throw new InvalidOperationException($"Seed {seed}.", exception);
            }
        }
    }

    private static async Task Round(Random random)
    {
        bool canWait = random.Next(2) == 0;
        Ending ending = (Ending)random.Next(4);
        int blocks = random.Next(1, 60), scansPerBlock = random.Next(1, 400), endsAtBlock = random.Next(blocks), readsAtMost = random.Next(1, 30);
        SourceException fault = new(SourceFailure.Unplugged, "script: gone; plug it in.");
        long given = 0;
        TaskCompletionSource moment = new(TaskCreationOptions.RunContinuationsAsynchronously);
        ScriptSource source = new(
            (receiver, stop) =>
            {
                int at = 0;
                for (int b = 0; b < blocks && !stop.IsCancellationRequested; b++)
                {
                    if (b == endsAtBlock) moment.TrySetResult();
                    if (b == endsAtBlock && ending == Ending.Fault) throw fault;
                    int count = Math.Min(scansPerBlock, (Scans.Length / 2) - at);
                    receiver.Take(Scans.AsSpan(2 * at, 2 * count));
                    at = (at + count) % (Scans.Length / 2);
                    given += count;
                }
            },
            canWait);
        SweepPolicy policy = canWait ? (SweepPolicy)random.Next(3) : (SweepPolicy)random.Next(2);
        AcquisitionSession session = AcquisitionSession.Start(source, Setup, new SessionOptions { ScansPerHalf = random.Next(1, 600), MostSweeps = random.Next(1, 5), Policy = policy });
        Task<long> consumer = Consume(session, ending == Ending.Dispose ? readsAtMost : int.MaxValue, ending == Ending.Fault ? fault : null);
        await moment.Task;
        if (ending == Ending.Stop) session.Stop();
        if (ending == Ending.Dispose)
        {
            await session.DisposeAsync();
            await consumer;
            return;
        }

        long accounted = await consumer;
        SessionCounts counts = session.Counts;
        await session.DisposeAsync();

        Assert.Equal(given, counts.Accounting.Scans + counts.Accounting.Lost);
        Assert.Equal(counts.OverrunScans, counts.Accounting.Lost);
        Assert.InRange(counts.Sweeps - accounted, 0, policy == SweepPolicy.DropWhenFull ? counts.SweepsDropped : 0);
        if (policy == SweepPolicy.Wait) Assert.Equal(0, counts.SweepsDropped);
    }

    /// <returns>Sweeps received, and those that the reports say were dropped before them.</returns>
    private static async Task<long> Consume(AcquisitionSession session, int most, Exception? fault)
    {
        long accounted = 0;
        try
        {
            await foreach (SweepReport report in session.Sweeps.ReadAllAsync())
            {
                using (report)
                {
                    accounted += report.DroppedBefore + 1;
                    Assert.Equal(accounted, report.Info.Number + 1);
                    if (--most == 0) return accounted;
                }
            }

            Assert.Null(fault);
        }
        catch (SourceException exception)
        {
            Assert.Same(fault, exception);
        }

        return accounted;
    }
}
