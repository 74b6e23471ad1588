using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>Legs of one channel by height and direction, so that the tall ones can be told from wiggles once the range is known.</summary>
internal sealed class LegSurvey
{
    private const int MostAtOnce = 4_096;

    private readonly ShortLegs _short = new();
    private readonly LegFinder _finder;
    private readonly ushort[] _codes = new ushort[MostAtOnce + 2];
    private readonly ushort[] _middles = new ushort[MostAtOnce];
    private ushort _before, _last;
    private int _known;
    private readonly LegStatistics[] _rising = Make();
    private readonly LegStatistics[] _falling = Make();

    /// <summary>Begins with no leg.</summary>
    public LegSurvey() => _finder = new LegFinder(Add, _short);

    /// <summary>Takes the next code: the specification of taking many.</summary>
    /// <remarks>The middle one of three in a row goes on, so that a spike of a single scan is no turning point.</remarks>
    public void Add(ushort code)
    {
        ushort middle = Math.Max(Math.Min(_before, _last), Math.Min(Math.Max(_before, _last), code));
        _before = _last;
        _last = code;
        if (_known < 2) _known++;
        else _finder.Add(middle);
    }

    /// <summary>Takes the next codes.</summary>
    public void Add(ReadOnlySpan<ushort> codes)
    {
        for (; _known < 2 && !codes.IsEmpty; codes = codes[1..]) Add(codes[0]);
        while (!codes.IsEmpty)
        {
            int count = Math.Min(codes.Length, MostAtOnce);
            (_codes[0], _codes[1]) = (_before, _last);
            codes[..count].CopyTo(_codes.AsSpan(2));
            Middles(_codes.AsSpan(0, count + 2), _middles);
            _finder.Add(_middles.AsSpan(0, count));
            if (_short.Closed) _short.MoveTo(_rising, _falling);
            (_before, _last) = (_codes[count], _codes[count + 1]);
            codes = codes[count..];
        }
    }

    /// <summary>The next code does not follow on the last one.</summary>
    public void Break()
    {
        _known = 0;
        _finder.Break();
    }

    /// <summary>Legs of at least a given height.</summary>
    /// <param name="codes">Height in codes; rounded up to a quarter octave.</param>
    public (LegStatistics Rising, LegStatistics Falling) Taller(double codes)
    {
        _short.MoveTo(_rising, _falling);
        LegStatistics rising = new(), falling = new();
        for (int step = LegHeights.StepAbove(codes); step < LegHeights.Count; step++)
        {
            rising.Add(_rising[step]);
            falling.Add(_falling[step]);
        }

        return (rising, falling);
    }

    private void Add(Leg leg)
    {
        LegStatistics legs = (leg.Rising ? _rising : _falling)[LegHeights.StepOf((ushort)leg.ExcursionCodes)];
        if (!_short.Closed && !legs.StaysExactWith(leg.Scans))
        {
            // Once a sum is rounded, it depends on the order.
            _short.MoveTo(_rising, _falling);
            _short.Closed = true;
        }

        legs.Add(leg);
    }

    // Two fewer than there are codes.
    private static void Middles(ReadOnlySpan<ushort> codes, Span<ushort> middles)
    {
        int i = 0, count = codes.Length - 2;
        ref ushort first = ref MemoryMarshal.GetReference(codes), into = ref MemoryMarshal.GetReference(middles[..count]);
        for (; i <= count - Vector256<ushort>.Count; i += Vector256<ushort>.Count)
        {
            nuint at = (nuint)i;
            Vector256<ushort> a = Vector256.LoadUnsafe(ref first, at), b = Vector256.LoadUnsafe(ref first, at + 1), c = Vector256.LoadUnsafe(ref first, at + 2);
            Vector256.Max(Vector256.Min(a, b), Vector256.Min(Vector256.Max(a, b), c)).StoreUnsafe(ref into, at);
        }

        for (; i < count; i++)
            middles[i] = Math.Max(Math.Min(codes[i], codes[i + 1]), Math.Min(Math.Max(codes[i], codes[i + 1]), codes[i + 2]));
    }

    private static LegStatistics[] Make() =>
        [.. Enumerable.Range(0, LegHeights.Count).Select(_ => new LegStatistics())];
}
