using Acquire.Capture;

namespace Acquire.Sweeps;

/// <summary>Hears what the tracker decides. Scans are given by their index among the scans processed.</summary>
internal interface ISweepListener
{
    /// <summary>A sweep began; its scans follow through <see cref="Place"/>, from <paramref name="scan"/> on, none left out.</summary>
    void SweepBegan(long scan, SweepStart reason, bool rising);

    /// <summary>The sweep that has just begun did so before the history: its blocks up to <paramref name="to"/> lie on a line.</summary>
    /// <param name="to">One past the last scan of the last block; <see cref="Place"/> goes on from there.</param>
    /// <param name="course">Line through the ramp, in codes.</param>
    /// <param name="end">Scan at the line's end.</param>
    void PlacePast(long to, LineFit course, long end);

    /// <summary>A scan of the sweep under way, provisional until it is confirmed.</summary>
    /// <param name="scan">Index of the scan.</param>
    /// <param name="course">Ramp code by the fitted course, or NaN: use the scan's own code.</param>
    /// <param name="slope">Slope of the course there, in codes per scan; it means nothing where there is none.</param>
    void Place(long scan, double course, double slope);

    /// <summary>The scans from one on that is to be placed next, or null: they have to be placed singly.</summary>
    /// <param name="scan">Index of the scan that lies at <see cref="ScanBlock.First"/>.</param>
    /// <param name="scans">How many there have to be, a multiple of 16, at most <see cref="ScanBlock.Most"/>.</param>
    ScanBlock? BlockFrom(long scan, int scans) => null;

    /// <summary>Scans of the sweep under way that lie on one line; as <see cref="Place"/> for each of them.</summary>
    /// <param name="block">From <see cref="BlockFrom"/>.</param>
    /// <param name="scans">A multiple of 16.</param>
    /// <param name="line">Their course, from the first on.</param>
    void PlaceRun(ScanBlock block, int scans, in CourseLine line) => throw new NotSupportedException("Runs are given to those who handed out a block.");

    /// <summary>Scans before this one will not be withdrawn.</summary>
    void Confirm(long scan);

    /// <summary>The sweep ended; scans from <see cref="TrackedSweep.EndScan"/> on that were placed are withdrawn.</summary>
    void SweepEnded(in TrackedSweep sweep);

    /// <summary>A gap, a break or the end of the stream came; no sweep is under way any more.</summary>
    /// <param name="end">One past the last scan before it.</param>
    /// <param name="retraceEnd">One past the last scan of the retrace since the last sweep.</param>
    void SegmentEnded(long end, long retraceEnd);

    /// <summary>It was no sweep; all its scans are withdrawn.</summary>
    void SweepCancelled();
}
