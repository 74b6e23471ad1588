namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Mean of a vertical by ramp code over many sweeps: what repeats with the sweep, as against what does not.</summary>
internal sealed class VerticalProfile
{
    private readonly int _fullCode;
    private readonly double[] _sums;
    private readonly long[] _counts;

    /// <summary>Begins empty.</summary>
    /// <param name="channel">Channel of the vertical.</param>
    /// <param name="rampChannel">Channel of the ramp.</param>
    /// <param name="fullCode">Highest valid code.</param>
    public VerticalProfile(int channel, int rampChannel, int fullCode)
    {
        Channel = channel;
        RampChannel = rampChannel;
        _fullCode = fullCode;
        _sums = new double[fullCode + 1];
        _counts = new long[fullCode + 1];
    }

    /// <summary>Channel of the vertical.</summary>
    public int Channel { get; }

    /// <summary>Channel of the ramp.</summary>
    public int RampChannel { get; }

    /// <summary>Highest valid code.</summary>
    public int FullCode => _fullCode;

    /// <summary>Takes one scan of a sweep.</summary>
    public void Add(ushort ramp, ushort code)
    {
        if (ramp > _fullCode || code > _fullCode) return;
        _sums[ramp] += code;
        _counts[ramp]++;
    }

    /// <summary>Scans of which the mean at a ramp code is.</summary>
    /// <param name="ramp">Ramp code, 0 to <see cref="FullCode"/>.</param>
    public long CountAt(int ramp) => _counts[ramp];

    /// <summary>Mean at a ramp code.</summary>
    /// <param name="ramp">Ramp code.</param>
    /// <param name="code">Code of the vertical; only whether it is valid matters.</param>
    /// <param name="mean">Mean code of the vertical there.</param>
    /// <returns>False where no sweep came by, or a code is not valid.</returns>
    public bool TryMean(ushort ramp, ushort code, out double mean)
    {
        mean = 0;
        if (ramp > _fullCode || code > _fullCode || _counts[ramp] == 0) return false;
        mean = _sums[ramp] / _counts[ramp];
        return true;
    }
}
