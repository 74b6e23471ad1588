using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>Looks for legs in sixteen stretches of a run at once, where noise makes a turn every few codes and no branch can be foreseen.</summary>
/// <remarks>
/// What a leg under way has come to is known only where the codes before have been walked through. But a walk that begins anywhere soon
/// takes the same turns as the one that came from before. So each stretch is begun early, with a guess; where it then stands as the
/// stretch before it ends, all of its legs are right, and only there are they taken.
/// </remarks>
internal sealed class LegLanes
{
    /// <summary>Stretches that are walked through at once.</summary>
    public const int Lanes = 16;

    /// <summary>Codes before each stretch that are walked through as well.</summary>
    public const int Early = 64;

    private const int MostRows = 320;
    private const int FewestRows = 64;
    private const int RowsAtOnce = 4;

    // By row, the codes of all stretches at the same place, and what the legs under way had come to before the last few.
    private readonly ushort[] _codes = new ushort[MostRows * Lanes];
    private readonly ushort[] _excursions = new ushort[RowsAtOnce * Lanes], _scans = new ushort[RowsAtOnce * Lanes], _begins = new ushort[RowsAtOnce * Lanes], _kinds = new ushort[RowsAtOnce * Lanes];

    // One part for each stretch.
    private readonly LaneLeg[] _measured = new LaneLeg[MostRows * Lanes];
    private readonly int[] _measuredCounts = new int[Lanes];
    private readonly ShortLegs _short = new();
    private readonly LaneStates _begun = new(), _now = new();

    /// <summary>Codes in a stretch where so many are left; 0 where they are too few.</summary>
    public static int RowsFor(int codes)
    {
        int rows = Math.Min(codes / Lanes, MostRows - Early) / RowsAtOnce * RowsAtOnce;
        return rows < FewestRows || !BitConverter.IsLittleEndian ? 0 : rows;
    }

    /// <summary>Walks through the stretches, as far as the guesses were right.</summary>
    /// <param name="codes">Early codes, and the stretches' after them.</param>
    /// <param name="rows">Codes in a stretch.</param>
    /// <param name="hysteresis">Codes that make a turn.</param>
    /// <param name="state">The leg under way after the early codes, at least a turn tall; then that after the last right stretch, with places as they are there.</param>
    /// <returns>Stretches that were right, from the first on.</returns>
    public int Walk(ReadOnlySpan<ushort> codes, int rows, int hysteresis, ref LaneState state)
    {
        ToRows(codes, rows);
        _now.Guess(_codes);
        WalkRows(0, Early, hysteresis, lanes: 0);
        _begun.Set(_now);
        WalkRows(Early, Early + rows, hysteresis, Lanes);
        int right = 0;
        for (; right < Lanes && _begun[right] == state; right++) state = _now[right].Before(rows);
        if (right == Lanes) return right;

        // Once more, for the legs of those only.
        _short.Clear();
        _now.Set(_begun);
        WalkRows(Early, Early + rows, hysteresis, right);
        return right;
    }

    /// <summary>Hands over the legs, too short to be measured, that ended in right stretches; to be called after each walk in which there were any.</summary>
    /// <param name="tooShort">Gets them.</param>
    /// <param name="hysteresis">Codes that make a turn.</param>
    /// <param name="range">From the lowest code to the highest.</param>
    public void MoveTo(ShortLegs tooShort, int hysteresis, int range) => _short.MoveTo(tooShort, hysteresis, range);

    /// <summary>The other legs that ended in a right stretch, in order; valid until the next walk.</summary>
    public ReadOnlySpan<LaneLeg> LegsOf(int lane) => _measured.AsSpan(lane * MostRows, _measuredCounts[lane]);

    private void ToRows(ReadOnlySpan<ushort> codes, int rows)
    {
        Vector256<ulong> lowHalf = Vector256.Create((ulong)uint.MaxValue);
        Vector256<uint> lowWord = Vector256.Create((uint)ushort.MaxValue);
        // As bytes: what is loaded lies within the early codes and the stretches, what is stored within as many rows.
        ref byte first = ref Unsafe.As<ushort, byte>(ref MemoryMarshal.GetReference(codes[..(Early + (Lanes * rows))]));
        ref ushort into = ref MemoryMarshal.GetArrayDataReference(_codes);
        nuint stretch = (nuint)rows * sizeof(ushort), end = (nuint)(Early + rows) * sizeof(ushort);
        for (nuint at = 0; at < end; at += RowsAtOnce * sizeof(ushort))
        {
            // Four codes each of four stretches that are four apart: first pairs of codes change places, then codes.
            Vector256<ulong> a = Fours(ref first, at, stretch), b = Fours(ref first, at + stretch, stretch);
            Vector256<ulong> c = Fours(ref first, at + (2 * stretch), stretch), d = Fours(ref first, at + (3 * stretch), stretch);
            Vector256<uint> firstEven = ((a & lowHalf) | (c << 32)).AsUInt32(), firstOdd = ((b & lowHalf) | (d << 32)).AsUInt32();
            Vector256<uint> lastEven = ((a >>> 32) | (c & ~lowHalf)).AsUInt32(), lastOdd = ((b >>> 32) | (d & ~lowHalf)).AsUInt32();
            nuint to = at / sizeof(ushort) * Lanes;
            ((firstEven & lowWord) | (firstOdd << 16)).AsUInt16().StoreUnsafe(ref into, to);
            ((firstEven >>> 16) | (firstOdd & ~lowWord)).AsUInt16().StoreUnsafe(ref into, to + Lanes);
            ((lastEven & lowWord) | (lastOdd << 16)).AsUInt16().StoreUnsafe(ref into, to + (2 * Lanes));
            ((lastEven >>> 16) | (lastOdd & ~lowWord)).AsUInt16().StoreUnsafe(ref into, to + (3 * Lanes));
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<ulong> Fours(ref byte first, nuint at, nuint stretch) =>
        Vector256.Create(Four(ref first, at), Four(ref first, at + (4 * stretch)), Four(ref first, at + (8 * stretch)), Four(ref first, at + (12 * stretch)));

    private static ulong Four(ref byte first, nuint at) => Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref first, at));

    // Notes legs of as many stretches only.
    private void WalkRows(int first, int end, int hysteresis, int lanes)
    {
        Array.Clear(_measuredCounts);
        ulong noted = ((1UL << lanes) - 1) * 0x0001_0001_0001_0001;
        Vector256<ushort> rising = Vector256.Create((ushort)ShortLegs.Rising), endOfShort = Vector256.Create((ushort)ShortLegs.EndOfScans);
        Vector256<ushort> turnFrom = Vector256.Create((ushort)hysteresis), near = Vector256.Create((ushort)(hysteresis / 2)), step = Vector256.Create((ushort)(hysteresis / 8));
        Vector256<ushort> place = Vector256.Create((ushort)first), flip = _now.Load(LaneStates.Flip), start = _now.Load(LaneStates.Start), extreme = _now.Load(LaneStates.Extreme);
        Vector256<ushort> ofSums = _now.Load(LaneStates.ExtremeOfSums), from = _now.Load(LaneStates.From), at = _now.Load(LaneStates.At), fromAtExtreme = _now.Load(LaneStates.FromAtExtreme);
        // Rows lie within the codes, and as many as are taken at once within the others.
        ref ushort codes = ref MemoryMarshal.GetArrayDataReference(_codes), excursionsOut = ref MemoryMarshal.GetArrayDataReference(_excursions);
        ref ushort scansOut = ref MemoryMarshal.GetArrayDataReference(_scans), beginsOut = ref MemoryMarshal.GetArrayDataReference(_begins), kindsOut = ref MemoryMarshal.GetArrayDataReference(_kinds);
        for (int row = first; row < end; row += RowsAtOnce)
        {
            ulong turns = 0;
            for (int i = 0; i < RowsAtOnce * Lanes; i += Lanes)
            {
                // As the codes are in a leg that rises: complements turn them round.
                Vector256<ushort> code = Vector256.LoadUnsafe(ref codes, (nuint)((row * Lanes) + i)) ^ flip;
                Vector256<ushort> turn = Vector256.GreaterThanOrEqual(Vector256.SubtractSaturate(extreme, code), turnFrom);
                turns |= (ulong)turn.ExtractMostSignificantBits() << i;
                Vector256<ushort> scans = at - fromAtExtreme + Vector256<ushort>.One;
                (extreme - start).StoreUnsafe(ref excursionsOut, (nuint)i);
                scans.StoreUnsafe(ref scansOut, (nuint)i);
                fromAtExtreme.StoreUnsafe(ref beginsOut, (nuint)i);
                (Vector256.AndNot(rising, flip) | (scans & Vector256.LessThan(scans, endOfShort))).StoreUnsafe(ref kindsOut, (nuint)i);

                // Where a leg that is a turn tall goes on, no code is below its start.
                Vector256<ushort> beside = Vector256.LessThan(code - start, near) | turn;
                Vector256<ushort> beyond = Vector256.GreaterThan(Vector256.SubtractSaturate(code, ofSums), step) | turn;
                start = Vector256.ConditionalSelect(turn, ~extreme, start);
                code ^= turn;
                flip ^= turn;
                extreme = Vector256.ConditionalSelect(turn, code, Vector256.Max(extreme, code));
                ofSums = Vector256.ConditionalSelect(beyond, code, ofSums);
                from = Vector256.ConditionalSelect(beside, place, from);
                at = Vector256.ConditionalSelect(beyond, place, at);
                fromAtExtreme = Vector256.ConditionalSelect(beyond, from, fromAtExtreme);
                place += Vector256<ushort>.One;
            }

            Note(turns & noted);
        }

        _now.Store(flip, start, extreme, ofSums, from, at, fromAtExtreme);
    }

    private void Note(ulong turns)
    {
        // No bit lies outside of these.
        ref ushort kinds = ref MemoryMarshal.GetArrayDataReference(_kinds), excursions = ref MemoryMarshal.GetArrayDataReference(_excursions);
        for (; turns != 0; turns &= turns - 1)
        {
            int i = BitOperations.TrailingZeroCount(turns), kind = Unsafe.Add(ref kinds, i);
            if (kind % ShortLegs.EndOfScans != 0) _short.Add(kind, Unsafe.Add(ref excursions, i));
            else NoteMeasured(i, kind != 0);
        }
    }

    private void NoteMeasured(int i, bool rising)
    {
        int lane = i % Lanes;
        _measured[(lane * MostRows) + _measuredCounts[lane]++] = new LaneLeg(rising, _excursions[i], _begins[i], _scans[i]);
    }
}
