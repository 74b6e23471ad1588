using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Scales;

/// <content>Many codes at a time, each with the bits of one alone.</content>
public sealed partial class VerticalConverter
{
    /// <summary>How levels go with codes: 1 a higher code never has a lower level, -1 never a higher one, 0 neither.</summary>
    internal int LevelsByCode { get; }

    /// <summary>Replaces codes by their volts, each as <see cref="VoltsOf"/> has it; NaN stays.</summary>
    internal void MakeVolts(Span<double> codes)
    {
        if (!HasVolts) Volts();
        ref double first = ref MemoryMarshal.GetReference(codes);
        int i = 0;
        for (; i <= codes.Length - Vector<double>.Count; i += Vector<double>.Count) VoltsOfEach(Vector.LoadUnsafe(ref first, (nuint)i)).StoreUnsafe(ref first, (nuint)i);
        foreach (ref double code in codes[i..]) code = VoltsOf(code);
    }

    /// <summary>Replaces codes by their levels, each as <see cref="LevelOf"/> has it; NaN stays.</summary>
    internal void MakeLevels(Span<double> codes)
    {
        RequireLevel();
        ref double first = ref MemoryMarshal.GetReference(codes);
        int i = 0;
        if (Scale.Law != VerticalLaw.Logarithmic)
        {
            for (; Vector512.IsHardwareAccelerated && i <= codes.Length - Vector512<double>.Count; i += Vector512<double>.Count)
            {
                Vector512<double> volts = VoltsOfEach(Vector512.LoadUnsafe(ref first, (nuint)i));
                Decibels.Of((volts - Vector512.Create(Ratio.Zero)) / Vector512.Create(Ratio.One), DecibelsPerDecade, _pointLevels[0]).StoreUnsafe(ref first, (nuint)i);
            }

            Vector<double> zero = new(Ratio.Zero), one = new(Ratio.One);
            for (; i <= codes.Length - Vector<double>.Count; i += Vector<double>.Count)
                Decibels.Of((VoltsOfEach(Vector.LoadUnsafe(ref first, (nuint)i)) - zero) / one, DecibelsPerDecade, _pointLevels[0]).StoreUnsafe(ref first, (nuint)i);
        }
        else if (_pointVolts.Length == 2)
        {
            Vector<double> x0 = new(_pointVolts[0]), width = new(_pointVolts[1] - _pointVolts[0]), y0 = new(_pointLevels[0]), height = new(_pointLevels[1] - _pointLevels[0]);
            for (; i <= codes.Length - Vector<double>.Count; i += Vector<double>.Count)
                (y0 + (height * (VoltsOfEach(Vector.LoadUnsafe(ref first, (nuint)i)) - x0) / width)).StoreUnsafe(ref first, (nuint)i);
        }

        foreach (ref double code in codes[i..])
            if (!double.IsNaN(code)) code = LevelOf(code);
    }

    /// <summary>Replaces squares of such ratios as <see cref="RatioOfVolts"/> has by their levels, each as <see cref="LevelOfSquare"/> has it; NaN stays.</summary>
    internal void MakeLevelsOfSquares(Span<double> squares) => Decibels.Make(squares, DecibelsPerDecade / 2, _pointLevels[0]);

    /// <summary>Volts of codes, each as <see cref="VoltsOf"/> has it.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal Vector<double> VoltsOfEach(Vector<double> codes) =>
        new Vector<double>(_voltsAtCodeZero) + (new Vector<double>(_voltsToFullCode) * codes / new Vector<double>(FullCode));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Vector512<double> VoltsOfEach(Vector512<double> codes) =>
        Vector512.Create(_voltsAtCodeZero) + (Vector512.Create(_voltsToFullCode) * codes / Vector512.Create((double)FullCode));

    private int OrderOfLevels()
    {
        bool rises = true, falls = true;
        for (int code = 1; code < _levelsOfCodes.Length; code++)
        {
            rises &= _levelsOfCodes[code] >= _levelsOfCodes[code - 1];
            falls &= _levelsOfCodes[code] <= _levelsOfCodes[code - 1];
        }

        return rises ? 1 : falls ? -1 : 0;
    }
}
