namespace Acquire.Scales;

/// <summary>One vertical's scale, made ready for use: codes to volts and level and back, and the tables of the averaging domains.</summary>
/// <remarks>
/// Immutable once built, so any thread may read it. Codes may be fractional, since a mean of codes is a code too.
/// The laws: logarithmic is straight lines through the level points, the outer ones extended; voltage is
/// <c>L0 + 20 log10((v - zero)/(v0 - zero))</c>; power is <c>L0 + 10 log10((v - zero)/(v0 - zero))</c>.
/// </remarks>
public sealed partial class VerticalConverter
{
    private readonly double[] _pointVolts;
    private readonly double[] _pointLevels;
    private readonly double _zeroVolts;
    private readonly double _voltsAtCodeZero;
    private readonly double _voltsToFullCode;
    private readonly double[] _levelsOfCodes;
    private readonly DomainTable?[] _tables = new DomainTable?[AveragingDomains.Count];

    /// <summary>Checks a scale and builds its tables.</summary>
    /// <param name="scale">What the vertical's codes stand for.</param>
    /// <param name="fullCode">Highest valid code, 1 to 65,535: 2^bits - 1.</param>
    /// <param name="domains">Averaging domains that get a table, where there are level points; a vertical without any has none. Default none.</param>
    /// <exception cref="ArgumentException">The scale contradicts itself, or the full code is out of its range; the message gives value, rule and fix.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A domain is a number without a name.</exception>
    public VerticalConverter(VerticalScale scale, int fullCode, IReadOnlyCollection<AveragingDomain>? domains = null)
    {
        ArgumentNullException.ThrowIfNull(scale);
        if (fullCode is < 1 or > ushort.MaxValue)
            throw new ArgumentException($"The full code is {fullCode}; it must be 1 to {ushort.MaxValue}: 2^bits - 1.", nameof(fullCode));
        VerticalScaleRules.Check(scale);
        domains ??= [];
        AveragingDomains.ThrowIfUnnamed(domains);
        Scale = scale;
        FullCode = fullCode;
        VoltsRiseOnScreen = scale.Volts is { } volts && (volts.AtFullCode > volts.AtCodeZero) == CodesRiseOnScreen;

        if (scale.Volts is { } codeVolts)
        {
            _voltsAtCodeZero = (double)codeVolts.AtCodeZero;
            _voltsToFullCode = (double)(codeVolts.AtFullCode - codeVolts.AtCodeZero);
        }

        LevelPoint[] points = [.. scale.Level.OrderBy(p => p.Volts)];
        _pointVolts = [.. points.Select(p => (double)p.Volts)];
        _pointLevels = [.. points.Select(p => (double)p.LevelDb)];
        _zeroVolts = (double)scale.ZeroVolts;
        OwnDomainIsStraight = scale.Law != VerticalLaw.Logarithmic || VerticalScaleRules.OnOneLine(points);

        _levelsOfCodes = new double[HasLevel ? fullCode + 1 : 0];
        for (int code = 0; code < _levelsOfCodes.Length; code++) _levelsOfCodes[code] = LevelOf(code);
        LevelsByCode = OrderOfLevels();

        // The domains are one list for all verticals of a setup, of which some may have no levels.
        if (!HasLevel) return;
        foreach (AveragingDomain domain in domains) _tables[(int)domain] = BuildTable(domain);
    }

    /// <summary>The scale that it was built from.</summary>
    public VerticalScale Scale { get; }

    /// <summary>Highest valid code.</summary>
    public int FullCode { get; }

    /// <summary>Whether codes have volts.</summary>
    public bool HasVolts => Scale.Volts is not null;

    /// <summary>Whether codes have a level.</summary>
    public bool HasLevel => Scale.Level.Count > 0;

    /// <summary>A higher code is higher on the instrument's screen.</summary>
    public bool CodesRiseOnScreen => Scale.Up == SignalUp.CodesRise;

    /// <summary>Higher volts are higher on the instrument's screen; false where codes have no volts.</summary>
    public bool VoltsRiseOnScreen { get; }

    /// <summary>The domain of the law itself: level for logarithmic, voltage for voltage, power for power.</summary>
    public AveragingDomain OwnDomain => Scale.Law switch
    {
        VerticalLaw.Voltage => AveragingDomain.Voltage,
        VerticalLaw.Power => AveragingDomain.Power,
        _ => AveragingDomain.Level,
    };

    /// <summary>The own domain is a straight line over codes, so its mean follows from the mean of the codes and needs no table.</summary>
    /// <remarks>True for both linear laws and for a logarithmic scale whose points lie on one line.</remarks>
    public bool OwnDomainIsStraight { get; }

    /// <summary>Table per domain, indexed by <see cref="AveragingDomain"/>; null where the domain was not asked for.</summary>
    public ReadOnlySpan<DomainTable?> Tables => _tables;

    /// <summary>Level of each code from 0 to the full code, in decibels; empty where there is no level.</summary>
    public ReadOnlySpan<double> LevelsOfCodes => _levelsOfCodes;

    /// <summary>Volts of a code.</summary>
    /// <param name="code">Code, with fractions.</param>
    /// <exception cref="InvalidOperationException">The scale has no volts.</exception>
    public double VoltsOf(double code)
    {
        if (!HasVolts) Volts();
        // What CodeVolts says, without making doubles of its decimals each time.
        return _voltsAtCodeZero + (_voltsToFullCode * code / FullCode);
    }

    /// <summary>Code, with fractions, of a voltage; may lie outside of the converter's range.</summary>
    /// <param name="volts">Volts.</param>
    /// <exception cref="InvalidOperationException">The scale has no volts.</exception>
    public double CodeOfVolts(double volts) => Volts().CodeOf(volts, FullCode);

    /// <summary>Level of a code, in decibels.</summary>
    /// <param name="code">Code, with fractions.</param>
    /// <returns>Negative infinity where a linear law has no input or less.</returns>
    /// <exception cref="InvalidOperationException">The scale has no level.</exception>
    public double LevelOf(double code) => LevelOfVolts(VoltsOf(code));

    /// <summary>Level of a voltage, in decibels.</summary>
    /// <param name="volts">Volts on the vertical output.</param>
    /// <returns>Negative infinity where a linear law has no input or less.</returns>
    /// <exception cref="InvalidOperationException">The scale has no level.</exception>
    public double LevelOfVolts(double volts)
    {
        RequireLevel();
        if (Scale.Law != VerticalLaw.Logarithmic) return LevelOfRatio(RatioOfVolts(volts));
        int i = 1;
        while (i < _pointVolts.Length - 1 && volts > _pointVolts[i]) i++;
        return Between(volts, _pointVolts[i - 1], _pointVolts[i], _pointLevels[i - 1], _pointLevels[i]);
    }

    /// <summary>Volts of a level.</summary>
    /// <param name="levelDb">Level in decibels.</param>
    /// <exception cref="InvalidOperationException">The scale has no level.</exception>
    public double VoltsOfLevel(double levelDb)
    {
        RequireLevel();
        if (Scale.Law != VerticalLaw.Logarithmic)
            return _zeroVolts + ((_pointVolts[0] - _zeroVolts) * Math.Pow(10, (levelDb - _pointLevels[0]) / DecibelsPerDecade));
        bool rising = _pointLevels[^1] > _pointLevels[0];
        int i = 1;
        while (i < _pointLevels.Length - 1 && (rising ? levelDb > _pointLevels[i] : levelDb < _pointLevels[i])) i++;
        return Between(levelDb, _pointLevels[i - 1], _pointLevels[i], _pointVolts[i - 1], _pointVolts[i]);
    }

    /// <summary>Volts above no input, relative to the level point's: 1 at the point, 0 without input. Linear laws with a level point only.</summary>
    internal double RatioOfVolts(double volts) => (volts - Ratio.Zero) / Ratio.One;

    /// <summary>The volts of no input, and by how much those of the ratio 1 lie above. Linear laws with a level point only.</summary>
    internal (double Zero, double One) Ratio => (_zeroVolts, _pointVolts[0] - _zeroVolts);

    /// <summary>Level of such a ratio, in decibels.</summary>
    internal double LevelOfRatio(double ratio) => Decibels.Of(ratio, DecibelsPerDecade, _pointLevels[0]);

    /// <summary>Level of the square of such a ratio, in decibels.</summary>
    internal double LevelOfSquare(double square) => Decibels.Of(square, DecibelsPerDecade / 2, _pointLevels[0]);

    /// <summary>Decibels per factor of ten in volts, for the two linear laws.</summary>
    internal double DecibelsPerDecade => Scale.Law == VerticalLaw.Power ? 10 : 20;

    private static double Between(double x, double x0, double x1, double y0, double y1) =>
        y0 + ((y1 - y0) * (x - x0) / (x1 - x0));

    private DomainTable BuildTable(AveragingDomain domain)
    {
        if (Scale.Law == VerticalLaw.Logarithmic || domain == AveragingDomain.Level)
            return DomainTable.Build(domain, _levelsOfCodes);

        // Linear laws keep the sign: noise that dips below no input must pull the mean down as far as it pulls it up elsewhere.
        double[] values = new double[FullCode + 1];
        for (int code = 0; code <= FullCode; code++)
        {
            double ratio = RatioOfVolts(VoltsOf(code));
            values[code] = (Scale.Law, domain) switch
            {
                (VerticalLaw.Voltage, AveragingDomain.Power) => ratio * ratio,
                (VerticalLaw.Power, AveragingDomain.Voltage) => Math.Sqrt(Math.Max(ratio, 0)),
                _ => ratio,
            };
        }

        return DomainTable.BuildLinear(domain, values, _pointLevels[0]);
    }

    private CodeVolts Volts() => Scale.Volts ?? throw new InvalidOperationException(
        "The vertical has no volts; give the setup the volts at code 0 and at full code.");

    private void RequireLevel()
    {
        if (!HasLevel) throw new InvalidOperationException("The vertical has no level; give the setup points of volts and level.");
    }
}
