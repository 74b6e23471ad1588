using System.Runtime.CompilerServices;

namespace Acquire.Harness.Inspect.Survey;

/// <content>Runs of codes: only places are noted code by code, and what lies between them is summed when it is needed.</content>
internal sealed partial class LegFinder
{
    // Codes looked at as one where nothing happens in them.
    private const int Calm = 64;
    private const int LongCalm = 256;
    private const int ShortCalm = 16;

    // Where turns are as frequent, it pays to look for them in many places at once.
    private const int ScansPerFrequentTurn = 16;

    /// <summary>Takes the next codes.</summary>
    public void Add(ReadOnlySpan<ushort> codes)
    {
        while (!codes.IsEmpty)
        {
            // A code that widens the range changes what counts as a turn.
            int inRange = _highest < 0 ? 0 : codes.IndexOfAnyExceptInRange((ushort)_lowest, (ushort)_highest);
            if (inRange == 0)
            {
                Add(codes[0]);
                codes = codes[1..];
                continue;
            }

            if (inRange < 0) inRange = codes.Length;
            // Before the first leg the range is less than a turn, and there is nothing to sum.
            if (_direction != 0) AddInRange(codes[..inRange]);
            codes = codes[inRange..];
        }
    }

    private void AddInRange(ReadOnlySpan<ushort> codes)
    {
        Course course = new(this, codes);
        bool together = true;
        for (int at = 0, calm = Calm; at < codes.Length;)
        {
            int end = Math.Min(at + calm, codes.Length);
            bool passed = end - at >= Calm && course.TryPass(at, end);
            if (!passed && end - at > Calm)
            {
                calm = Calm;
                continue;
            }

            calm = passed ? LongCalm : Calm;
            if (!passed)
            {
                int turns = course.WalkInParts(at, end);
                if (together && turns >= Calm / ScansPerFrequentTurn) end = course.WalkTogether(end, out together);
            }

            at = end;
        }

        course.Keep();
    }

    /// <summary>Where in a run of codes something was that counts, in codes that rise with the leg.</summary>
    private ref partial struct Course
    {
        private readonly LegFinder _finder;
        private readonly ReadOnlySpan<ushort> _codes;
        private readonly int _hysteresis, _near, _step;
        private int _sign, _start, _extreme, _extremeOfSums;

        // Places: where the sums begin, where they stood at the extreme and where they began then; -1 is before the run.
        private int _from = -1, _at = -1, _fromAtExtreme = -1;

        public Course(LegFinder finder, ReadOnlySpan<ushort> codes)
        {
            _finder = finder;
            _codes = codes;
            _hysteresis = finder.Hysteresis;
            _near = _hysteresis / 2;
            _step = _hysteresis / 8;
            _sign = finder._direction >> 31;
            _start = Up(finder._start, _sign);
            _extreme = Up(finder._extreme, _sign);
            _extremeOfSums = Up(finder._extremeOfSums, _sign);
        }

        /// <summary>Takes codes as one where none is a turn.</summary>
        public bool TryPass(int at, int end)
        {
            (int lowest, int highest) = CodeRange.Of(_codes[at..end]);
            if (_sign < 0) (lowest, highest) = (-highest, -lowest);
            int extreme = Math.Max(_extreme, highest);
            if (extreme - lowest >= _hysteresis) return false;
            bool someBeside = lowest - _start < _near && _start - highest < _near;
            // The sums' end moves on in leaps, few of them: each is looked for. A code further than that has not come yet.
            for (int limit; highest > (limit = _extremeOfSums + _step);)
            {
                int leap = at + FirstBeyond(_codes[at..end], limit);
                if (someBeside) KeepBeside(at, leap + 1);
                _extremeOfSums = Up(_codes[leap], _sign);
                (_at, _fromAtExtreme) = (leap, _from);
                at = leap + 1;
            }

            if (someBeside) KeepBeside(at, end);
            _extreme = extreme;
            return true;
        }

        private readonly int FirstBeyond(ReadOnlySpan<ushort> codes, int limit) => _sign < 0
            ? codes.IndexOfAnyInRange((ushort)0, (ushort)(-limit - 1))
            : codes.IndexOfAnyInRange((ushort)(limit + 1), ushort.MaxValue);

        // The last code near the start is where the sums begin.
        private void KeepBeside(int at, int end)
        {
            int start = Up(_start, _sign);
            int last = _codes[at..end].LastIndexOfAnyInRange((ushort)Math.Max(0, start - _near + 1), (ushort)Math.Min(ushort.MaxValue, start + _near - 1));
            if (last >= 0) _from = at + last;
        }

        /// <summary>Goes on code by code where nothing else will do: a turn may be near the end, and the codes before it calm.</summary>
        /// <returns>Turns.</returns>
        public int WalkInParts(int at, int end)
        {
            int turns = 0;
            for (int part; at < end; at = part)
            {
                part = Math.Min(at + ShortCalm, end);
                if (part - at < ShortCalm || !TryPass(at, part)) turns += Walk(at, part);
            }

            return turns;
        }

        /// <summary>Goes on code by code, and through turns: where noise makes one, the next is a few codes away.</summary>
        /// <returns>Turns.</returns>
        private int Walk(int at, int end)
        {
            int turns = 0;
            ReadOnlySpan<ushort> codes = _codes;
            int sign = _sign, extreme = _extreme, ofSums = _extremeOfSums, from = _from, sumsAt = _at, fromAtExtreme = _fromAtExtreme;
            int start = _start, near = _near, step = _step, hysteresis = _hysteresis;
            for (; at < end; at++)
            {
                int code = Up(codes[at], sign);
                if (extreme - code >= hysteresis)
                {
                    (_at, _fromAtExtreme) = (sumsAt, fromAtExtreme);
                    End(sign, extreme - start);
                    turns++;
                    sign = ~sign;
                    start = -extreme;
                    extreme = ofSums = -code;
                    from = sumsAt = fromAtExtreme = at;
                    continue;
                }

                // Noise makes both of these a throw of dice, so they are no branches.
                int beside = (Math.Abs(code - start) - near) >> 31, beyond = (ofSums + step - code) >> 31;
                from = Chosen(beside, at, from);
                extreme = Math.Max(extreme, code);
                ofSums = Chosen(beyond, code, ofSums);
                sumsAt = Chosen(beyond, at, sumsAt);
                fromAtExtreme = Chosen(beyond, from, fromAtExtreme);
            }

            (_sign, _start, _extreme, _extremeOfSums, _from, _at, _fromAtExtreme) = (sign, start, extreme, ofSums, from, sumsAt, fromAtExtreme);
            return turns;
        }

        /// <summary>The run has ended within a leg.</summary>
        public readonly void Keep()
        {
            LegSums atExtreme = AtExtreme();
            if (_at >= 0 && _from == _fromAtExtreme)
            {
                _finder._sums = atExtreme;
                _finder._sums.Add(_codes[(_at + 1)..]);
            }
            else if (_from >= 0)
            {
                _finder._sums = LegSums.From(_codes[_from..]);
            }
            else
            {
                _finder._sums.Add(_codes);
            }

            _finder._atExtreme = atExtreme;
            _finder._direction = _sign | 1;
            _finder._start = Up(_start, _sign);
            _finder._extreme = Up(_extreme, _sign);
            _finder._extremeOfSums = Up(_extremeOfSums, _sign);
        }

        private readonly void End(int sign, int excursion)
        {
            int scans = _at - _fromAtExtreme + 1;
            if (_fromAtExtreme < 0) _finder.Ended(sign == 0, excursion, AtExtreme());
            else if (scans < FewestMeasured) _finder.EndedShort(sign == 0, excursion, scans);
            else EndMeasured(sign == 0, excursion, _fromAtExtreme, scans);
        }

        private readonly void EndMeasured(bool rising, int excursion, int from, int scans) =>
            _finder._ended(new Leg(rising, excursion, scans, LegSums.StraightnessOf(_codes.Slice(from, scans))));

        // From where the code left the start for good to where it was furthest.
        private readonly LegSums AtExtreme()
        {
            if (_at < 0) return _finder._atExtreme;
            if (_fromAtExtreme >= 0) return LegSums.From(_codes[_fromAtExtreme..(_at + 1)]);
            LegSums sums = _finder._sums;
            sums.Add(_codes[..(_at + 1)]);
            return sums;
        }

        // Its own inverse.
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        private static int Up(int code, int sign) => (code ^ sign) - sign;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        private static int Chosen(int mask, int one, int other) => other ^ ((one ^ other) & mask);
    }
}
