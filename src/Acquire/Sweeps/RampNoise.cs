using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Capture;

namespace Acquire.Sweeps;

/// <summary>Standard deviation of fast noise, from the median of second differences.</summary>
/// <remarks>
/// A second difference takes out the ramp's level and slope, and the median ignores the few at turning points. For white noise of
/// deviation s it has the deviation s * sqrt(6), and the median of the magnitude of a normal variable is 0.67449 of its deviation,
/// what three tenths lie below 0.38532 (quantiles of the normal distribution at 0.75 and 0.65).
/// Once it is known from some thousands of differences, one in <see cref="Spacing"/> is enough to follow it.
/// </remarks>
internal sealed class RampNoise
{
    // A converter's own rounding: 1 / sqrt(12) codes (Bennett, 1948).
    public const double Floor = 0.288675;

    /// <summary>Scans from one difference taken to the next, once settled.</summary>
    public const int Spacing = 64;

    // Once settled the deviation is worked out anew at the last scan of each of so many blocks, so that it holds for whole ones.
    private const int Renewal = 1_024;

    // The least of fewer differences say nothing; so often the deviation is worked out anew until it is settled.
    private const int Few = 64;

    private const double RootOfSix = 2.4494897;

    private const int Exact = 64;
    private const int PerOctave = 8;
    private const int Settled = 8_192;
    private const int Forget = 1_024;
    private readonly int[] _bins = new int[Exact + (PerOctave * 12)];
    private int _total;

    public double Sigma { get; private set; } = Floor;

    /// <summary>As <see cref="Sigma"/>, but by the least of the differences where that is less: of sweeps of a few scans more than half lie at turning points.</summary>
    public double QuietSigma { get; private set; } = Floor;

    /// <summary>Whether enough differences were taken to take but some of those that follow.</summary>
    public bool IsSettled { get; private set; }

    /// <summary>First scan from one on whose difference is taken once settled; the last scan of a block is one of them.</summary>
    public static long FirstFrom(long scan) => ((scan + Spacing + 1) & -Spacing) - 2;

    /// <summary>Takes a difference.</summary>
    /// <param name="magnitude">Of the second difference, in codes.</param>
    /// <param name="scan">Index of its last scan.</param>
    public void Add(int magnitude, long scan)
    {
        _bins[BinOf(magnitude)]++;
        _total++;
        if (_total >= (IsSettled ? Forget : Settled))
        {
            IsSettled = true;
            Halve();
        }

        bool due = IsSettled ? ((scan + 2) & (Renewal - 1)) == 0 : _total < Few || (_total & (Few - 1)) == 0;
        if (due) Renew();
    }

    /// <summary>Takes differences of scans side by side, one in <see cref="Spacing"/>; once settled, as <see cref="Add"/> takes them.</summary>
    /// <param name="codes">Place of the scan <paramref name="scan"/>; the two before it are there too.</param>
    /// <param name="scan">First scan.</param>
    /// <param name="scans">How many.</param>
    public void AddSpaced(ref ushort codes, long scan, int scans)
    {
        ref int bins = ref MemoryMarshal.GetArrayDataReference(_bins);
        for (nint i = (nint)(FirstFrom(scan) - scan); i < scans; i += Spacing)
        {
            ref ushort at = ref Unsafe.Add(ref codes, i);
            int magnitude = Lanes.Size(at - (2 * Unsafe.Subtract(ref at, 1)) + Unsafe.Subtract(ref at, 2));
            Unsafe.Add(ref bins, magnitude < Exact ? magnitude : BinOf(magnitude))++;
            if (++_total >= Forget) Halve();
            if (((scan + i + 2) & (Renewal - 1)) == 0) Renew();
        }
    }

    private void Halve()
    {
        _total = 0;
        for (int i = 0; i < _bins.Length; i++) _total += _bins[i] >>= 1;
    }

    private void Renew()
    {
        Sigma = Math.Max(Floor, Below(0.5) / (0.67449 * RootOfSix));
        QuietSigma = _total < Few ? Sigma : Math.Min(Sigma, Math.Max(Floor, Below(0.3) / (0.38532 * RootOfSix)));
    }

    private static int BinOf(int magnitude)
    {
        if (magnitude < Exact) return magnitude;
        int octave = System.Numerics.BitOperations.Log2((uint)magnitude) - 6;
        int part = (magnitude >> (octave + 3)) & (PerOctave - 1);
        return Math.Min(Exact + (octave * PerOctave) + part, Exact + (PerOctave * 12) - 1);
    }

    private static double LowerEdgeOf(int bin)
    {
        // A whole number v stands for the magnitudes v - 0.5 .. v + 0.5.
        if (bin <= Exact) return Math.Max(0, bin - 0.5);
        int octave = (bin - Exact) / PerOctave, part = (bin - Exact) % PerOctave;
        return (Exact << octave) * (1 + ((double)part / PerOctave));
    }

    /// <summary>What a share of the magnitudes lies below.</summary>
    private double Below(double share)
    {
        double wanted = _total * share;
        int seen = 0;
        for (int i = 0; i < _bins.Length; i++)
        {
            if (seen + _bins[i] >= wanted && _bins[i] > 0)
            {
                double low = LowerEdgeOf(i), high = LowerEdgeOf(i + 1);
                return low + ((high - low) * (wanted - seen) / _bins[i]);
            }

            seen += _bins[i];
        }

        return 0;
    }
}
