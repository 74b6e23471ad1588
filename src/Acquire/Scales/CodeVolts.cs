namespace Acquire.Scales;

/// <summary>The straight line from codes to volts: volts at code 0 and at the full code (2^bits - 1).</summary>
/// <remarks>Decimal, not binary, fractions: the column of a code is decided from these values in exact arithmetic.</remarks>
/// <param name="AtCodeZero">Volts at code 0.</param>
/// <param name="AtFullCode">Volts at code 2^bits - 1; differs from <paramref name="AtCodeZero"/>, may be lower.</param>
public sealed record CodeVolts(decimal AtCodeZero, decimal AtFullCode)
{
    /// <summary>Volts of a code, which may be fractional (a mean of codes).</summary>
    /// <param name="code">Code, 0 to <paramref name="fullCode"/>.</param>
    /// <param name="fullCode">2^bits - 1.</param>
    public double VoltsOf(double code, int fullCode) =>
        (double)AtCodeZero + ((double)(AtFullCode - AtCodeZero) * code / fullCode);

    /// <summary>Code, in fractions, of a voltage.</summary>
    /// <param name="volts">Volts.</param>
    /// <param name="fullCode">2^bits - 1.</param>
    public double CodeOf(double volts, int fullCode) =>
        (volts - (double)AtCodeZero) * fullCode / (double)(AtFullCode - AtCodeZero);
}
