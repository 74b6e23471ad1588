using Acquire.Harness.Runs;
using Acquire.Scales;

namespace Acquire.Harness.Output;

/// <summary>A line of JSON and the records of a table for each sweep, made in memory.</summary>
internal sealed class SweepText : ISweepText
{
    private readonly Stream? _linesTo, _tableTo;
    private readonly MemoryStream _linesMade = new(), _tableMade = new();
    private readonly SweepLineWriter? _lines;
    private readonly SweepTableCsv? _table;

    /// <summary>Allocates what every sweep needs.</summary>
    /// <param name="linesTo">Gets the lines, or null: none are wanted.</param>
    /// <param name="tableTo">Gets the records, the header being there already, or null likewise.</param>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="unit">Unit of the values, or null: that which the setup allows.</param>
    /// <param name="domain">Domain of averages in level, or null: each vertical's own.</param>
    public SweepText(Stream? linesTo, Stream? tableTo, Setup setup, ValueUnit? unit, AveragingDomain? domain)
    {
        (_linesTo, _tableTo) = (linesTo, tableTo);
        // A reading works in memory of its own, so that several threads need several.
        VerticalReading[] readings = VerticalReading.Of(setup, unit, domain);
        if (linesTo is not null) _lines = new SweepLineWriter(_linesMade, setup, readings);
        if (tableTo is not null) _table = new SweepTableCsv(_tableMade, setup, readings);
    }

    /// <inheritdoc/>
    public void Make(in SweepView sweep)
    {
        _lines?.Write(sweep);
        _table?.Write(sweep);
    }

    /// <inheritdoc/>
    public void Write()
    {
        Move(_linesMade, _linesTo);
        Move(_tableMade, _tableTo);
    }

    /// <inheritdoc/>
    public void Dispose() => _lines?.Dispose();

    private static void Move(MemoryStream made, Stream? to)
    {
        if (to is null) return;
        to.Write(made.GetBuffer().AsSpan(0, (int)made.Length));
        made.SetLength(0);
    }
}
