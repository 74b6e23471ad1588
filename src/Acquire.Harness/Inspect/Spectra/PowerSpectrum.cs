using System.Numerics;

namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Mean power spectrum of equally long stretches of one signal.</summary>
/// <remarks>
/// The window is the four-term one of Blackman and Harris: its side lobes lie 92 dB down (F. J. Harris, Proc. IEEE 66, 1978), so that the
/// slow course of a ramp, a thousand times as large as a ripple, does not leak into the ripple's place.
/// </remarks>
internal sealed class PowerSpectrum
{
    private readonly FourierTransform _transform;
    private readonly double[] _window, _real, _imaginary, _power;
    private readonly double _windowSum;

    /// <summary>Begins with no stretch.</summary>
    /// <param name="points">Points of a stretch, at least 2; the transform pads them with zeros to a power of two.</param>
    public PowerSpectrum(int points)
    {
        int length = (int)BitOperations.RoundUpToPowerOf2((uint)points);
        _transform = new FourierTransform(length);
        _window = Window(points);
        _real = new double[length];
        _imaginary = new double[length];
        _power = new double[(length / 2) + 1];
        MainLobeBins = ((4 * length) + points - 1) / points;
        _windowSum = _window.Sum();
    }

    /// <summary>The window's weights.</summary>
    /// <param name="points">How many.</param>
    public static double[] Window(int points)
    {
        double[] window = new double[points];
        for (int i = 0; i < points; i++)
        {
            double phase = 2 * Math.PI * i / points;
            window[i] = 0.35875 - (0.48829 * Math.Cos(phase)) + (0.14128 * Math.Cos(2 * phase)) - (0.01168 * Math.Cos(3 * phase));
        }

        return window;
    }

    /// <summary>Points of a stretch.</summary>
    public int Points => _window.Length;

    /// <summary>Points of the transform: a bin is 1 / Length cycles per point.</summary>
    public int Length => _transform.Length;

    /// <summary>Bins by which the window widens a line to either side: four, and more where zeros were padded.</summary>
    public int MainLobeBins { get; }

    /// <summary>Stretches taken.</summary>
    public int Stretches { get; private set; }

    /// <summary>Takes one stretch.</summary>
    /// <param name="signal"><see cref="Points"/> values without their slow course; read only.</param>
    public void Add(ReadOnlySpan<double> signal)
    {
        for (int i = 0; i < _window.Length; i++) _real[i] = signal[i] * _window[i];
        Array.Clear(_real, _window.Length, _real.Length - _window.Length);
        Array.Clear(_imaginary);
        _transform.Transform(_real, _imaginary);
        for (int k = 0; k < _power.Length; k++)
            _power[k] += (_real[k] * _real[k]) + (_imaginary[k] * _imaginary[k]);
        Stretches++;
    }

    /// <summary>Mean square of the transform at a bin, over the stretches.</summary>
    /// <param name="bin">0 to Length / 2.</param>
    public double PowerAt(int bin) => _power[bin] / Math.Max(1, Stretches);

    /// <summary>Peak amplitude of a sine whose line has this power.</summary>
    /// <param name="power">As from <see cref="PowerAt"/>, at the line's top.</param>
    public double AmplitudeOf(double power) => 2 * Math.Sqrt(power) / _windowSum;

    /// <summary>Bins from 0 to half of the length.</summary>
    public int Bins => _power.Length;
}
