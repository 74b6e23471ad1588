using Acquire.Capture;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>A source that does what a test says.</summary>
internal sealed class ScriptSource(Action<IScanReceiver, CancellationToken> run, bool canWait = true) : IScanSource
{
    public string Name => "script:";

    public bool CanWait => canWait;

    public void Run(IScanReceiver receiver, CancellationToken stop) => run(receiver, stop);
}
