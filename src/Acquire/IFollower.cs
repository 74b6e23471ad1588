using Acquire.Sweeps;

namespace Acquire;

/// <summary>What the engine asks of a way to cut a stream into sweeps.</summary>
internal interface IFollower
{
    /// <summary>Whether sweeps are being followed; false while no ramp is known.</summary>
    bool Following { get; }

    /// <summary>Whether a sweep is under way.</summary>
    bool InSweep { get; }

    /// <summary>One past the last scan of the retrace since the last sweep.</summary>
    long RetraceEnd { get; }

    /// <summary>Deviation of the ramp around its course, in codes.</summary>
    double NoiseCodes { get; }

    /// <summary>Swings of a flyback that rings, left out.</summary>
    int FlybackSwings { get; }

    /// <summary>What was found out about the ramp, or null.</summary>
    RampLock? Found { get; }

    /// <summary>Scans that may be the first of a sweep.</summary>
    SweepDoubt Doubt { get; }

    /// <summary>Ramp code of a scan without spikes, of those in doubt.</summary>
    ushort RampOf(long scan);

    /// <summary>The leg under way while no ramp is known.</summary>
    LegUnderWay Leg { get; }

    /// <summary>Whether the ramp stood at a rail before or after a sweep, where it should have been moving.</summary>
    bool StoodAtRail(in TrackedSweep sweep, bool low);

    void Push(ushort rampCode);

    void EndSegment(SweepEnd end, long lostScans);

    void Complete();
}
