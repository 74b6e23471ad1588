using Acquire.Capture;
using Acquire.Traces;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Sources.Sessions;

/// <summary>How an <see cref="AcquisitionSession"/> hands things on.</summary>
public sealed record SessionOptions
{
    /// <summary>The highest value of <see cref="MostSweeps"/>.</summary>
    public const int SweepLimit = 65_536;

    /// <summary>Number of scans in each of the two halves between source and engine.</summary>
    /// <value>1 to 1,048,576; default 262,144, which rides over half a second without the engine at a million scans a second: a first call that has to be compiled, a busy machine.</value>
    /// <remarks>A larger half costs memory, not latency: an idle engine takes a half that is not full.</remarks>
    public int ScansPerHalf { get; init; } = 262_144;

    /// <summary>What becomes of a sweep for which the consumer has no time yet.</summary>
    /// <value>Null (the default): <see cref="SweepPolicy.Wait"/> where the source can wait, otherwise <see cref="SweepPolicy.DropWhenFull"/>.</value>
    public SweepPolicy? Policy { get; init; }

    /// <summary>Sweeps that may wait for the consumer; of no use with <see cref="SweepPolicy.NewestWins"/>, where one does.</summary>
    /// <value>1 to 65,536; default 64. Each costs the memory of one set of columns.</value>
    public int MostSweeps { get; init; } = 64;

    /// <summary>Readers that may copy snapshots at the same time.</summary>
    /// <value>1 to 1,024; default 1.</value>
    public int SnapshotReaders { get; init; } = 1;

    /// <summary>How long disposal waits for a source that does not end when it is stopped. Then its thread is left to itself and disposal says so in the log.</summary>
    /// <value>Longer than 0, at most 24 days; default 5 seconds.</value>
    public TimeSpan StopTimeout { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>Gets what happens, at most once a sweep; nobody unless given.</summary>
    public ILogger Logger { get; init; } = NullLogger.Instance;

    /// <summary>The clock that latency is measured with; the system's unless given.</summary>
    public TimeProvider Clock { get; init; } = TimeProvider.System;

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        if (ScansPerHalf is < 1 or > PingPongOptions.MaxScansPerHalf)
            throw new ArgumentException($"ScansPerHalf is {ScansPerHalf:N0}; a half holds 1 to {PingPongOptions.MaxScansPerHalf:N0} scans. Give a size in that range.");
        if (Policy is { } policy && !Enum.IsDefined(policy))
            throw new ArgumentException($"Policy is {Policy}; give NewestWins, DropWhenFull or Wait.");
        if (MostSweeps is < 1 or > SweepLimit)
            throw new ArgumentException($"MostSweeps is {MostSweeps:N0}; 1 to {SweepLimit:N0} sweeps may wait. Give a number in that range.");
        if (SnapshotReaders is < 1 or > SnapshotExchange.MaxReaders)
            throw new ArgumentException($"SnapshotReaders is {SnapshotReaders:N0}; 1 to {SnapshotExchange.MaxReaders:N0} may copy at the same time. Give a number in that range.");
        if (StopTimeout <= TimeSpan.Zero || StopTimeout.TotalMilliseconds > int.MaxValue)
            throw new ArgumentException($"StopTimeout is {StopTimeout}; it is longer than 0 and at most 24 days.");
    }
}
