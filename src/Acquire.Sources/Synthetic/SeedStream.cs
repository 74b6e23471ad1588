namespace Acquire.Sources.Synthetic;

/// <summary>An endless row of random numbers that can be read at any index, one row per effect.</summary>
/// <remarks>
/// It is SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014) addressed by index instead
/// of stepped: the number that belongs to a scan depends on seed, effect and scan only. So reads may be cut anywhere, scans may be lost,
/// and an effect may be switched on, and no other number changes.
/// </remarks>
internal readonly struct SeedStream
{
    private const ulong Golden = 0x9E3779B97F4A7C15;
    private readonly ulong _start;

    public SeedStream(ulong seed, Effect effect, int channel = 0) =>
        _start = Mix(Mix(seed + Golden) ^ Mix(((ulong)effect << 8) + (ulong)channel + 1));

    /// <summary>What the numbers are used for. The values are part of every seed's meaning: append, never renumber.</summary>
    public enum Effect
    {
        RampNoise = 1,
        SpikePlace = 2,
        SpikeSign = 3,
        Walk = 4,
        SweepJitter = 5,
        RestJitter = 6,
        AbortChance = 7,
        AbortPlace = 8,
        GapPlace = 9,
        GapLength = 10,
        BreakPlace = 11,
        BreakLength = 12,
        VerticalNoise = 13,
        FloorInPhase = 14,
        FloorQuadrature = 15,
        BlankingNoise = 16,
        BinWidths = 17,
        MissingCodes = 18,
        KnobPlace = 19,
        KnobSpeed = 20,
        KnobStand = 21,
        SourceBumps = 22,
        IntegralShape = 23,
        Kinds = 24,
    }

    /// <summary>64 random bits.</summary>
    public ulong Bits(long index) => Mix(_start + ((ulong)index * Golden));

    /// <summary>Uniform over the open interval 0..1.</summary>
    public double Uniform(long index) => ((Bits(index) >> 11) + 0.5) * (1.0 / (1L << 53));

    /// <summary>Uniform over <paramref name="low"/>..<paramref name="high"/>.</summary>
    public double Uniform(long index, double low, double high) => low + ((high - low) * Uniform(index));

    /// <summary>Normal with mean 0 and standard deviation 1.</summary>
    public double Normal(long index) => PortableMath.NormalQuantile(Uniform(index));

    /// <summary>SplitMix64's output function (Stafford's variant 13).</summary>
    private static ulong Mix(ulong z)
    {
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }
}
