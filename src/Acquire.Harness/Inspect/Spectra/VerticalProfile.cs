namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Mean of a vertical by its place in the picture over many sweeps: what repeats with the sweep, as against what does not.</summary>
/// <remarks>The place is a ramp code: the one that the converter read, or the one that the course of the sweep has there, without what was picked up on the way.</remarks>
internal sealed class VerticalProfile
{
    private readonly int _fullCode;
    private readonly IReadOnlyList<SweepCourse>? _courses;
    private readonly double[] _sums;
    private readonly long[] _counts;

    /// <summary>Begins empty.</summary>
    /// <param name="channel">Channel of the vertical.</param>
    /// <param name="rampChannel">Channel of the ramp.</param>
    /// <param name="fullCode">Highest valid code.</param>
    /// <param name="courses">The ramp's course in each sweep, by which places go; null to go by the codes that were read.</param>
    public VerticalProfile(int channel, int rampChannel, int fullCode, IReadOnlyList<SweepCourse>? courses = null)
    {
        Channel = channel;
        RampChannel = rampChannel;
        _fullCode = fullCode;
        _courses = courses;
        _sums = new double[fullCode + 1];
        _counts = new long[fullCode + 1];
    }

    /// <summary>Channel of the vertical.</summary>
    public int Channel { get; }

    /// <summary>Channel of the ramp.</summary>
    public int RampChannel { get; }

    /// <summary>Highest valid code.</summary>
    public int FullCode => _fullCode;

    /// <summary>Place of a scan.</summary>
    /// <param name="sweep">Index of the sweep among those looked at.</param>
    /// <param name="offset">Scans of the sweep before this one.</param>
    /// <param name="ramp">Ramp code; one that is not valid has no place, whatever the course says.</param>
    public ushort PlaceOf(int sweep, long offset, ushort ramp) =>
        _courses is null || ramp > _fullCode ? ramp : (ushort)Math.Clamp(Math.Round(_courses[sweep].CodeAt(offset)), 0, _fullCode);

    /// <summary>Takes one scan of a sweep.</summary>
    /// <param name="place">Its place.</param>
    /// <param name="code">Code of the vertical.</param>
    public void Add(ushort place, ushort code)
    {
        if (place > _fullCode || code > _fullCode) return;
        _sums[place] += code;
        _counts[place]++;
    }

    /// <summary>Scans of which the mean at a place is.</summary>
    /// <param name="place">Place, 0 to <see cref="FullCode"/>.</param>
    public long CountAt(int place) => _counts[place];

    /// <summary>Mean at a place.</summary>
    /// <param name="place">Place.</param>
    /// <param name="code">Code of the vertical; only whether it is valid matters.</param>
    /// <param name="mean">Mean code of the vertical there.</param>
    /// <returns>False where no sweep came by, or a code is not valid.</returns>
    public bool TryMean(ushort place, ushort code, out double mean)
    {
        mean = 0;
        if (place > _fullCode || code > _fullCode || _counts[place] == 0) return false;
        mean = _sums[place] / _counts[place];
        return true;
    }
}
