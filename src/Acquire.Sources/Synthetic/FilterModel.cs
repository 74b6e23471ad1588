namespace Acquire.Sources.Synthetic;

/// <summary>A lossless filter as device under test, by the closed form of its magnitude.</summary>
/// <remarks>
/// With w the frequency of the low-pass prototype: Butterworth loses 10 log10(1 + w^2n) dB, Chebyshev I 10 log10(1 + e² T_n(w)²) dB with
/// e² = 10^(ripple/10) - 1. Prototype frequencies: low-pass f/f0, high-pass f0/f, band-pass |f² - f0²|/(B f), band-stop its inverse.
/// </remarks>
public sealed record FilterModel
{
    /// <summary>Most loss that is reported: what an infinite loss reads, in dB.</summary>
    public const double MostLossDb = 400;

    /// <summary>Family; default Butterworth.</summary>
    public FilterFamily Family { get; init; } = FilterFamily.Butterworth;

    /// <summary>What passes; default band-stop.</summary>
    public FilterBand Band { get; init; } = FilterBand.BandStop;

    /// <summary>Order of the low-pass prototype.</summary>
    /// <value>1 to 64; default 3.</value>
    public int Order { get; init; } = 3;

    /// <summary>Corner (Butterworth: -3.01 dB; Chebyshev: edge of the ripple) or geometric centre of the band, in hertz.</summary>
    /// <value>Positive; default 25,000.</value>
    public double FrequencyHz { get; init; } = 25_000;

    /// <summary>Width of the band between the same edges, in hertz.</summary>
    /// <value>Positive; default 10,000; not used for low-pass and high-pass.</value>
    public double BandwidthHz { get; init; } = 10_000;

    /// <summary>Ripple of a Chebyshev filter in dB.</summary>
    /// <value>Above 0, at most 20; default 0.5.</value>
    public double RippleDb { get; init; } = 0.5;

    /// <summary>Loss at a frequency.</summary>
    /// <param name="frequencyHz">Frequency in hertz; its sign does not matter.</param>
    /// <returns>Loss in dB, 0 to <see cref="MostLossDb"/>.</returns>
    public double LossDb(double frequencyHz)
    {
        double f = Math.Abs(frequencyHz);
        double distance = Math.Abs(((f * f) - (FrequencyHz * FrequencyHz)) / BandwidthHz);
        double w = Band switch
        {
            FilterBand.LowPass => f / FrequencyHz,
            FilterBand.HighPass => FrequencyHz / f,
            FilterBand.BandPass => distance / f,
            _ => f / distance,
        };
        double power = Family == FilterFamily.Butterworth ? Squared(Power(w, Order)) : RipplePower(w);
        double loss = PortableMath.Decibels(1 + power);
        return loss < MostLossDb ? loss : MostLossDb;
    }

    internal void Validate(string name)
    {
        Check.Range(Order, 1, 64, name + ".Filter.Order", "the order of the prototype");
        Check.Positive(FrequencyHz, name + ".Filter.FrequencyHz");
        Check.Positive(BandwidthHz, name + ".Filter.BandwidthHz");
        Check.Range(RippleDb, 1e-6, 20, name + ".Filter.RippleDb", "in dB");
    }

    private static double Squared(double x) => x * x;

    private static double Power(double x, int n)
    {
        double result = 1;
        for (int i = 0; i < n; i++) result *= x;
        return result;
    }

    private double RipplePower(double w)
    {
        // Three-term recurrence, T(n+1) = 2 w T(n) - T(n-1) (DLMF 18.9.1); w may be infinite at the centre of a band-stop.
        if (double.IsInfinity(w)) return w;
        double before = 1, chebyshev = w;
        for (int n = 1; n < Order; n++) (before, chebyshev) = (chebyshev, (2 * w * chebyshev) - before);
        return (PortableMath.PowerOf(RippleDb) - 1) * Squared(chebyshev);
    }
}
