using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Sources;

/// <summary>What every source must do. A source of your own passes it with one more class like those below.</summary>
public abstract class SourceContract
{
    private const int Scans = 10_000;

    private protected abstract ISourceRig Create();

    /// <summary>The stream's end is a fault: a device that goes away.</summary>
    private protected virtual SourceFailure? EndIsFault => null;

    /// <summary>The stream is whole before the run begins, and the source never waits.</summary>
    private protected virtual bool IsFile => false;

    [Fact]
    public void Run_Scans_ArriveWholeAndInOrderThenItEnds()
    {
        using ISourceRig rig = Create();
        WatchedReceiver receiver = new();

        ushort[] sent = rig.Bring(Scans);
        if (IsFile) rig.EndFeed();
        using SourceRun run = new(rig.Source, receiver);
        receiver.WaitForWords(sent.Length);
        if (!IsFile) rig.EndFeed();
        run.WaitForEnd();

        Assert.Equal(sent, receiver.Words);
        Assert.Equal(EndIsFault, (run.Fault as SourceException)?.Failure);
        if (EndIsFault is null) Assert.Null(run.Fault);
    }

    [Fact]
    public void Run_DescribesOnceBeforeTheFirstScan()
    {
        using ISourceRig rig = Create();
        string[]? before = null;
        WatchedReceiver? receiver = null;
        receiver = new WatchedReceiver { OnTake = () => before ??= receiver!.Events };

        rig.Bring(10);
        if (IsFile) rig.EndFeed();
        using SourceRun run = new(rig.Source, receiver);
        receiver.WaitForWords(20);

        Assert.Equal(["describe"], before!);
        Assert.Equal(2, receiver.Description!.Scan.ChannelCount);
    }

    [Fact]
    public void Run_StoppedBeforeItBegins_ReturnsWithoutOpening()
    {
        ISourceRig rig = Create();
        IScanSource source = rig.Source;
        rig.Dispose();
        using CancellationTokenSource stop = new();
        stop.Cancel();
        WatchedReceiver receiver = new();

        source.Run(receiver, stop.Token);

        Assert.Empty(receiver.Events);
    }

    [Fact]
    public void Run_StoppedFromWithinTheReceiver_ReturnsWithoutFault()
    {
        using ISourceRig rig = Create();
        SourceRun? run = null;
        using ManualResetEventSlim started = new();
        WatchedReceiver receiver = new()
        {
            OnTake = () =>
            {
                started.Wait();
                run!.SignalStop();
            },
        };
        rig.Bring(Scans);
        if (IsFile) rig.EndFeed();

        run = new SourceRun(rig.Source, receiver);
        started.Set();
        receiver.WaitForWords(1);
        run.WaitForEnd();
        run.Dispose();

        Assert.Null(run.Fault);
    }

    [Fact]
    public void Run_ReceiverThrows_ThatComesOut()
    {
        using ISourceRig rig = Create();
        rig.Bring(100);
        if (IsFile) rig.EndFeed();
        WatchedReceiver receiver = new() { OnTake = () => throw new InvalidTimeZoneException("mine") };

        using SourceRun run = new(rig.Source, receiver);
        run.WaitForEnd();

        Assert.IsType<InvalidTimeZoneException>(run.Fault);
    }

    [Fact]
    public void Run_Twice_IsRefused()
    {
        using ISourceRig rig = Create();
        rig.Bring(10);
        if (IsFile) rig.EndFeed();
        WatchedReceiver receiver = new();
        using (SourceRun run = new(rig.Source, receiver))
        {
            receiver.WaitForWords(20);
            run.Stop();
        }

        Assert.Throws<InvalidOperationException>(() => rig.Source.Run(new WatchedReceiver(), CancellationToken.None));
    }

    [Fact]
    public void Name_IsOneVisibleLine()
    {
        using ISourceRig rig = Create();

        Assert.NotEmpty(rig.Source.Name);
        Assert.DoesNotContain(rig.Source.Name, char.IsControl);
    }
}

public sealed class SerialSourceContract : SourceContract
{
    private protected override SourceFailure? EndIsFault => SourceFailure.Unplugged;

    private protected override ISourceRig Create() => new SerialRig();
}

public sealed class PlatformSerialSourceContract : SourceContract
{
    private protected override SourceFailure? EndIsFault => SourceFailure.Unplugged;

    private protected override ISourceRig Create() => new SerialRig(usePlatformClass: true);
}

public sealed class StandardInputSourceContract : SourceContract
{
    private protected override ISourceRig Create() => new PipeRig();
}

public sealed class StreamSourceContract : SourceContract
{
    private protected override ISourceRig Create() => new StreamRig();
}

public sealed class TcpSourceContract : SourceContract
{
    private protected override ISourceRig Create() => new TcpRig();
}

public sealed class RecordingSourceContract : SourceContract
{
    private protected override bool IsFile => true;

    private protected override ISourceRig Create() => new RecordingRig();
}

public sealed class SyntheticSourceContract : SourceContract
{
    private protected override bool IsFile => true;

    private protected override ISourceRig Create() => new BenchRig(pace: null);
}

public sealed class PacedSyntheticSourceContract : SourceContract
{
    private protected override bool IsFile => true;

    private protected override ISourceRig Create() => new BenchRig(pace: 10);
}

public sealed class OwnSourceContract : SourceContract
{
    private protected override ISourceRig Create() => new QueueRig();
}
