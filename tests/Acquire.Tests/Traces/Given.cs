using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Tests.Traces;

/// <summary>Scales and columns that tests of traces start from.</summary>
internal static class Given
{
    internal static readonly AveragingDomain[] AllDomains = [AveragingDomain.Level, AveragingDomain.Voltage, AveragingDomain.Power];

    /// <summary>Code 0..4095 = 0..4.095 V, 1 mV a code; 0 V = -100 dB, 4 V = -20 dB: 0.02 dB a code.</summary>
    internal static readonly VerticalScale Logarithmic = new()
    {
        Volts = new CodeVolts(0m, 4.095m),
        Level = [new LevelPoint(0m, -100m), new LevelPoint(4m, -20m)],
    };

    /// <summary>The same, with falling codes up the screen: 0 V = -20 dB, 4 V = -100 dB.</summary>
    internal static readonly VerticalScale LogarithmicFalling = Logarithmic with
    {
        Up = SignalUp.CodesFall,
        Level = [new LevelPoint(0m, -20m), new LevelPoint(4m, -100m)],
    };

    /// <summary>A logarithmic scale with a kink: 0 V = -100 dB, 2 V = -80 dB, 4 V = -20 dB.</summary>
    internal static readonly VerticalScale LogarithmicBent = Logarithmic with
    {
        Level = [new LevelPoint(0m, -100m), new LevelPoint(2m, -80m), new LevelPoint(4m, -20m)],
    };

    /// <summary>Linear in voltage: 0.095 V is no input, 4.095 V = 0 dB.</summary>
    internal static readonly VerticalScale Voltage = new()
    {
        Law = VerticalLaw.Voltage,
        Volts = new CodeVolts(0m, 4.095m),
        ZeroVolts = 0.095m,
        Level = [new LevelPoint(4.095m, 0m)],
    };

    /// <summary>Linear in power: 0.095 V is no input, 4.095 V = 0 dB.</summary>
    internal static readonly VerticalScale Power = Voltage with { Law = VerticalLaw.Power };

    internal static VerticalConverter Converter(VerticalScale scale, params AveragingDomain[] domains) => new(scale, 4_095, domains);

    internal static ColumnStatistics Columns(VerticalConverter converter, params ushort[][] codesOfColumns)
    {
        AveragingDomain[] domains = [.. AllDomains.Where(d => converter.Tables[(int)d] is not null)];
        var columns = new ColumnStatistics(codesOfColumns.Length, domains);
        for (int c = 0; c < codesOfColumns.Length; c++)
            foreach (ushort code in codesOfColumns[c]) columns.Add(c, code, converter.Tables);
        return columns;
    }
}
