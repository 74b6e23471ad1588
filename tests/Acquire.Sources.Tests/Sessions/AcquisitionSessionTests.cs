using Acquire.Capture;
using Acquire.Sources.Sessions;
using Acquire.Sources.Synthetic;
using Acquire.Sources.Tests.Doubles;
using Acquire.Traces;

namespace Acquire.Sources.Tests.Sessions;

public class AcquisitionSessionTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    [Fact]
    public async Task Sweeps_OfARecordingWithASlowConsumer_AreAllThoseOfTheEngineAlone()
    {
        SyntheticOptions options = Benches.Of(sweeps: 40);
        Setup setup = Benches.SetupOf(options);
        KeptSweeps alone = Alone(setup, Benches.ScansOf(options));

        await using AcquisitionSession session = AcquisitionSession.Start(new SyntheticSource(options), setup, new SessionOptions { ScansPerHalf = 333, MostSweeps = 1 });
        List<string> sweeps = [];
        await foreach (SweepReport report in session.Sweeps.ReadAllAsync())
        {
            using (report)
            {
                sweeps.Add(KeptSweeps.TextOf(report));
                Assert.Equal(0, report.DroppedBefore);
            }
        }

        await session.Completion.WaitAsync(Patience);
        Assert.Equal(alone.Sweeps, sweeps);
        Assert.Equal(0, session.Counts.SweepsDropped);
        Assert.Equal(sweeps.Count, session.Counts.Sweeps);
        Assert.Equal(0, session.Counts.Accounting.Lost);
    }

    [Fact]
    public async Task Sweeps_NewestWins_LeavesTheLastOneAndSaysWhatItReplaced()
    {
        SyntheticOptions options = Benches.Of(sweeps: 20);
        Setup setup = Benches.SetupOf(options);
        KeptSweeps alone = Alone(setup, Benches.ScansOf(options));

        await using AcquisitionSession session = AcquisitionSession.Start(new SyntheticSource(options), setup, new SessionOptions { Policy = SweepPolicy.NewestWins });
        await session.Completion.WaitAsync(Patience);
        List<SweepReport> reports = [];
        await foreach (SweepReport report in session.Sweeps.ReadAllAsync()) reports.Add(report);

        SweepReport last = Assert.Single(reports);
        Assert.Equal(alone.Sweeps[^1], KeptSweeps.TextOf(last));
        Assert.Equal(alone.Sweeps.Count - 1, last.DroppedBefore);
        Assert.Equal(alone.Sweeps.Count - 1, session.Counts.SweepsDropped);
    }

    [Fact]
    public async Task Sweeps_BeyondTheBound_AreDroppedCountedAndReportedByTheNext()
    {
        SyntheticOptions options = Benches.Of(sweeps: 30);
        Setup setup = Benches.SetupOf(options);
        ushort[] scans = Benches.ScansOf(options);
        KeptSweeps alone = Alone(setup, scans);
        using SemaphoreSlim half = new(0);
        int cut = scans.Length / 2 / 2 * 2;
        ScriptSource source = new((receiver, _) =>
        {
            receiver.Describe(Benches.DescriptionOf(options));
            receiver.Take(scans.AsSpan(0, cut));
            half.Wait(CancellationToken.None);
            receiver.Take(scans.AsSpan(cut));
        });

        await using AcquisitionSession session = AcquisitionSession.Start(source, setup, new SessionOptions { Policy = SweepPolicy.DropWhenFull, MostSweeps = 3 });
        SnapshotShows(session, cut / 2);
        List<SweepReport> reports = [];
        while (session.Sweeps.TryRead(out SweepReport? report)) reports.Add(report);
        long droppedInFirstHalf = session.Counts.SweepsDropped;
        half.Release();
        await session.Completion.WaitAsync(Patience);
        while (session.Sweeps.TryRead(out SweepReport? report)) reports.Add(report);

        // The first three, then nothing until room was made, then three again.
        Assert.Equal(6, reports.Count);
        Assert.True(droppedInFirstHalf > 0);
        Assert.Equal([0, 0, 0, droppedInFirstHalf, 0, 0], reports.Select(r => r.DroppedBefore));
        Assert.Equal(alone.Sweeps[..3], reports[..3].Select(KeptSweeps.TextOf));
        Assert.Equal(3 + droppedInFirstHalf, reports[3].Info.Number);
        Assert.Equal(alone.Sweeps.Count - 6, session.Counts.SweepsDropped);
    }

    [Fact]
    public async Task Sweeps_SourceFails_EndWithThatExceptionBehindEverythingBefore()
    {
        SyntheticOptions options = Benches.Of(sweeps: 6);
        Setup setup = Benches.SetupOf(options);
        ushort[] scans = Benches.ScansOf(options);
        KeptSweeps alone = Alone(setup, scans);
        SourceException fault = new(SourceFailure.Unplugged, "script: gone; plug it in.");
        ScriptSource source = new((receiver, _) =>
        {
            receiver.Take(scans);
            throw fault;
        });

        await using AcquisitionSession session = AcquisitionSession.Start(source, setup, new SessionOptions { MostSweeps = 2 });
        List<string> sweeps = [];
        Exception? thrown = await Record.ExceptionAsync(async () =>
        {
            await foreach (SweepReport report in session.Sweeps.ReadAllAsync())
                using (report) sweeps.Add(KeptSweeps.TextOf(report));
        });

        Assert.Same(fault, thrown);
        Assert.Equal(alone.Sweeps, sweeps);
        Assert.Same(fault, await Record.ExceptionAsync(() => session.Completion.WaitAsync(Patience)));
    }

    [Fact]
    public async Task Sweeps_SourceCannotBeOpened_EndWithThatException()
    {
        await using AcquisitionSession session = AcquisitionSession.Start(new RecordingSource("/no/such/recording"), new Setup());

        SourceException fault = await Assert.ThrowsAsync<SourceException>(async () => await session.Sweeps.WaitToReadAsync());

        Assert.Equal(SourceFailure.Missing, fault.Failure);
    }

    [Fact]
    public async Task DisposeAsync_ConsumerStoppedReading_DoesNotWaitForIt()
    {
        SyntheticOptions options = Benches.Of(sweeps: 1_000_000) with { KeepTruth = false };
        AcquisitionSession session = AcquisitionSession.Start(new SyntheticSource(options), Benches.SetupOf(options), new SessionOptions { MostSweeps = 1 });
        Assert.True(await session.Sweeps.WaitToReadAsync());

        await session.DisposeAsync().AsTask().WaitAsync(Patience);

        Assert.True(session.Completion.IsCompletedSuccessfully);
        Assert.False(session.Sweeps.TryRead(out _));
        Assert.False(await session.Sweeps.WaitToReadAsync());
        await session.DisposeAsync();
        session.Stop();
    }

    [Fact]
    public async Task DisposeAsync_ASourceThatDoesNotEnd_IsLeftAloneAndLogged()
    {
        using ManualResetEventSlim end = new();
        WatchedLog log = new();
        ScriptSource source = new((_, _) => end.Wait(CancellationToken.None), canWait: false);
        AcquisitionSession session = AcquisitionSession.Start(source, new Setup(), new SessionOptions { StopTimeout = TimeSpan.FromMilliseconds(50), Logger = log });

        await session.DisposeAsync().AsTask().WaitAsync(Patience);
        end.Set();

        Assert.Contains(log.Entries, e => e.Id == 9);
    }

    [Fact]
    public async Task Stop_WhatCameBefore_IsStillDelivered()
    {
        SyntheticOptions options = Benches.Of(sweeps: 10);
        Setup setup = Benches.SetupOf(options);
        ushort[] scans = Benches.ScansOf(options);
        KeptSweeps alone = Alone(setup, scans);
        ScriptSource source = new((receiver, stop) =>
        {
            receiver.Take(scans);
            stop.WaitHandle.WaitOne();
        });
        await using AcquisitionSession session = AcquisitionSession.Start(source, setup);
        Assert.True(await session.Sweeps.WaitToReadAsync());

        session.Stop();
        List<string> sweeps = [];
        await foreach (SweepReport report in session.Sweeps.ReadAllAsync())
            using (report) sweeps.Add(KeptSweeps.TextOf(report));

        Assert.Equal(alone.Sweeps, sweeps);
    }

    [Theory]
    [InlineData(ChannelRole.Vertical, ChannelRole.Ramp, 12, 1_000.0, "its channels are vertical, ramp, those of the setup ramp, vertical")]
    [InlineData(ChannelRole.Ramp, ChannelRole.Vertical, 10, 1_000.0, "its codes have 10 bits, those of the setup 12")]
    [InlineData(ChannelRole.Ramp, ChannelRole.Vertical, 12, 1_020.0, "it gives 1020 scans a second, the setup says 1000")]
    [InlineData(ChannelRole.Ramp, ChannelRole.Vertical, 12, 1_005.0, null)]
    [InlineData(ChannelRole.Ramp, ChannelRole.Vertical, 12, null, null)]
    public async Task Describe_ContradictsTheSetup_IsAFault(ChannelRole first, ChannelRole second, int bits, double? rateHz, string? difference)
    {
        StreamDescription description = new() { Scan = new ScanFormat { Roles = [first, second], Bits = bits, ScanRateHz = rateHz } };
        Setup setup = new() { Scan = new ScanFormat { ScanRateHz = 1_000 } };

        await using AcquisitionSession session = AcquisitionSession.Start(new ScriptSource((receiver, _) => receiver.Describe(description)), setup);
        Exception? fault = await Record.ExceptionAsync(() => session.Completion.WaitAsync(Patience));

        if (difference is null)
        {
            Assert.Null(fault);
            Assert.Same(description, session.Description);
        }
        else
        {
            Assert.Equal(SourceFailure.FormatDiffers, Assert.IsType<SourceException>(fault).Failure);
            Assert.StartsWith($"script: {difference};", fault.Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Take_EngineIsLate_CountsEveryScanAsOverrun()
    {
        SyntheticOptions options = Benches.Of(sweeps: 20);
        ushort[] scans = Benches.ScansOf(options);
        using ManualResetEventSlim engineHeld = new(), engineMayGo = new();
        WatchedLog log = new()
        {
            OnEntry = id =>
            {
                if (id != 6 || engineHeld.IsSet) return;
                engineHeld.Set();
                engineMayGo.Wait(CancellationToken.None);
            },
        };
        ScriptSource source = new(
            (receiver, _) =>
            {
                receiver.Take(scans.AsSpan(0, 2 * 3_000));
                engineHeld.Wait(CancellationToken.None);
                for (int at = 2 * 3_000; at < scans.Length; at += 200) receiver.Take(scans.AsSpan(at, Math.Min(200, scans.Length - at)));
                engineMayGo.Set();
            },
            canWait: false);

        await using AcquisitionSession session = AcquisitionSession.Start(source, Benches.SetupOf(options), new SessionOptions { ScansPerHalf = 3_000, Logger = log });
        await session.Completion.WaitAsync(Patience);

        SessionCounts counts = session.Counts;
        Assert.True(counts.OverrunScans > 0);
        Assert.Equal(counts.OverrunScans, counts.Accounting.Lost);
        Assert.Equal(scans.Length / 2, counts.Accounting.Scans + counts.Accounting.Lost);
        Assert.Contains(log.Entries, e => e.Id == 7);
    }

    [Fact]
    public async Task Latency_IsTheTimeFromTheArrivalOfAHalfToItsSnapshot()
    {
        SyntheticOptions options = Benches.Of(sweeps: 3);
        ushort[] scans = Benches.ScansOf(options);
        StepClock clock = new();
        bool first = true;
        WatchedLog log = new()
        {
            OnEntry = id =>
            {
                // The first sweep is logged within the only half's work: that half then takes 25 ms.
                if (id != 6 || !first) return;
                first = false;
                clock.Advance(TimeSpan.FromMilliseconds(25));
            },
        };

        await using AcquisitionSession session = AcquisitionSession.Start(
            new ScriptSource((receiver, _) => receiver.Take(scans)), Benches.SetupOf(options), new SessionOptions { Clock = clock, Logger = log, Policy = SweepPolicy.NewestWins });
        await session.Completion.WaitAsync(Patience);

        Assert.Equal(1, session.Latency.Count);
        Assert.Equal(TimeSpan.FromMilliseconds(25), session.Latency.Longest);
        Assert.Equal(TimeSpan.FromMilliseconds(25), session.Latency.Within(0.5));
    }

    [Fact]
    public async Task Snapshots_ShowWhatTheEngineHas()
    {
        SyntheticOptions options = Benches.Of(sweeps: 5);
        ushort[] scans = Benches.ScansOf(options);
        using ManualResetEventSlim end = new();
        ScriptSource source = new((receiver, _) =>
        {
            receiver.Take(scans);
            end.Wait(CancellationToken.None);
        });

        await using AcquisitionSession session = AcquisitionSession.Start(source, Benches.SetupOf(options));
        TraceSnapshot snapshot = SnapshotShows(session, scans.Length / 2);
        end.Set();
        // How long a half took is noted after its snapshot can be seen.
        await foreach (SweepReport sweep in session.Sweeps.ReadAllAsync(TestContext.Current.CancellationToken)) sweep.Dispose();

        Assert.Equal(50, snapshot.Traces[0].ColumnCount);
        Assert.True(session.Latency.Count > 0);
        Assert.True(session.Latency.Within(1) > TimeSpan.Zero);
    }

    [Fact]
    public async Task Text_FromTheDevice_IsEscapedInTheLog()
    {
        WatchedLog log = new();
        ScriptSource source = new((receiver, _) =>
        {
            receiver.Describe(new StreamDescription { Device = "meter\u001b[2J" });
            receiver.Say("hot\r\nFAKE: line");
        });

        await using AcquisitionSession session = AcquisitionSession.Start(source, new Setup(), new SessionOptions { Logger = log });
        await session.Completion.WaitAsync(Patience);

        Assert.All(log.Entries, e => Assert.DoesNotContain(e.Text, char.IsControl));
        Assert.Contains(log.Entries, e => e.Text.Contains("hot", StringComparison.Ordinal));
        Assert.Equal("hot\r\nFAKE: line", session.LastText);
    }

    [Fact]
    public async Task Log_Throws_EndsTheSweepsWithThat()
    {
        WatchedLog log = new()
        {
            OnEntry = id =>
            {
                if (id != 1) throw new InvalidTimeZoneException("no disk");
            },
        };

        await using AcquisitionSession session = AcquisitionSession.Start(new ScriptSource((_, _) => { }), new Setup(), new SessionOptions { Logger = log });

        await Assert.ThrowsAsync<InvalidTimeZoneException>(() => session.Completion.WaitAsync(Patience));
        await Assert.ThrowsAsync<InvalidTimeZoneException>(async () => await session.Sweeps.WaitToReadAsync());
    }

    [Fact]
    public void Start_WaitForASourceThatCannot_IsRefused()
    {
        ScriptSource source = new((_, _) => { }, canWait: false);

        ArgumentException exception = Assert.Throws<ArgumentException>(() => AcquisitionSession.Start(source, new Setup(), new SessionOptions { Policy = SweepPolicy.Wait }));

        Assert.Contains("script: cannot wait", exception.Message, StringComparison.Ordinal);
    }

    private static KeptSweeps Alone(Setup setup, ushort[] scans)
    {
        KeptSweeps kept = new();
        SweepEngine engine = new(setup, kept);
        engine.Process(scans);
        engine.Complete();
        return kept;
    }

    /// <summary>Waits until the snapshots show everything up to a position.</summary>
    private static TraceSnapshot SnapshotShows(AcquisitionSession session, long position)
    {
        TraceSnapshot snapshot = session.Snapshots.CreateSnapshot();
        Assert.True(SpinWait.SpinUntil(() => session.Snapshots.Read(snapshot) && snapshot.EndPosition >= position, Patience));
        return snapshot;
    }
}
