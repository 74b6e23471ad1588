namespace Acquire.Sources.Synthetic;

// Benches without a ramp, and the random numbers that all are drawn with.
public static partial class BenchKinds
{
    private static SyntheticOptions WithoutRampOf(BenchKind kind, SyntheticOptions usual, Draws draws)
    {
        double level = draws.Between(0.05, 0.95);
        RampModel ramp = kind switch
        {
            BenchKind.Constant => new() { Kind = RampKind.Constant, RestingLevel = level, NoiseCodes = draws.Between(0, 3) },
            BenchKind.WhiteNoise => new() { Kind = RampKind.Noise, RestingLevel = level, NoiseCodes = draws.Log(0.002, 0.2) * usual.Format.FullCode },
            BenchKind.RandomWalk => new() { Kind = RampKind.Walk, RestingLevel = level, WalkCodes = draws.Log(0.1, 100), NoiseCodes = draws.Between(0, 1) },
            BenchKind.Mains => new()
            {
                Kind = RampKind.Mains,
                MainsHz = draws.OneOf(50.0, 60.0),
                MainsAmplitude = draws.Between(0.1, 2),
                MainsClip = draws.Chance(0.3) ? null : draws.Between(0.1, 0.5),
                NoiseCodes = draws.Between(0, 1),
            },
            _ => new() { Kind = RampKind.Floating, RestingLevel = level, FloatingShare = draws.Between(0.01, 0.9), NoiseCodes = draws.Between(0, 2) },
        };
        return usual with { Ramp = ramp, Sweeps = null, Scans = 40_000, ScanRateHz = draws.Log(5_000, 200_000) };
    }

    /// <summary>Random numbers drawn one after another.</summary>
    private sealed class Draws(ulong seed, int kind)
    {
        private readonly SeedStream _stream = new(seed, SeedStream.Effect.Kinds, kind);
        private long _drawn;

        public double Between(double low, double high) => _stream.Uniform(_drawn++, low, high);

        public double Log(double low, double high) => PortableMath.Exp(Between(PortableMath.Log(low), PortableMath.Log(high)));

        public bool Chance(double probability) => Between(0, 1) < probability;

        public int Whole(int low, int high) => low + (int)Between(0, high - low + 1);

        public T OneOf<T>(params ReadOnlySpan<T> choices) => choices[Whole(0, choices.Length - 1)];
    }
}
