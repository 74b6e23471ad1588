using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Harness.Tests.Doubles;

/// <summary>Sweeps made by hand, as the engine would show them to its sink.</summary>
internal sealed class FakeSweep
{
    private readonly ColumnStatistics[] _verticals;
    private readonly VerticalConverter[] _converters;

    public FakeSweep(Setup setup, long number, bool complete = true, int axisNumber = 0)
    {
        Axis = new ColumnAxis(axisNumber, setup.Columns.ColumnCount, 0, setup.Scan.FullCode, false, true, false);
        Info = new SweepInfo
        {
            Number = number,
            Complete = complete,
            StartScan = 100 * number,
            EndScan = (100 * number) + 90,
            AxisNumber = axisNumber,
            Direction = RampDirection.Rising,
        };
        _verticals = [.. setup.Scan.VerticalChannels.Select(_ => new ColumnStatistics(setup.Columns.ColumnCount, setup.Columns.Domains))];
        _converters = [.. _verticals.Select((_, v) => new VerticalConverter(setup.VerticalScaleOf(v), setup.Scan.FullCode, setup.Columns.Domains))];
    }

    public ColumnAxis Axis { get; }

    public SweepInfo Info { get; }

    /// <summary>Adds codes to one column of one vertical.</summary>
    public FakeSweep Put(int vertical, int column, params ushort[] codes)
    {
        foreach (ushort code in codes) _verticals[vertical].Add(column, code, _converters[vertical].Tables);
        return this;
    }

    public SweepView View() => new(Info, Axis, _verticals);
}
