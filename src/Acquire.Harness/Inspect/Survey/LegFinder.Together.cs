namespace Acquire.Harness.Inspect.Survey;

/// <content>Stretches of a run that are walked through at once.</content>
internal sealed partial class LegFinder
{
    private LegLanes? _lanes;

    private ref partial struct Course
    {
        /// <summary>Walks through as many codes as can be at once, none where the leg under way began too long ago.</summary>
        /// <param name="at">First code.</param>
        /// <param name="again">It is worth a try with codes that follow.</param>
        /// <returns>First code that was not walked through.</returns>
        public int WalkTogether(int at, out bool again)
        {
            int rows = LegLanes.RowsFor(_codes.Length - at), first = at - LegLanes.Early;
            again = false;
            if (rows == 0 || _finder._short.Closed || _from < first || _fromAtExtreme < first || first < 0 || _extreme - _start < _hysteresis) return at;

            ushort flip = (ushort)_sign;
            LaneState state = new(flip, Flipped(_start), Flipped(_extreme), Flipped(_extremeOfSums), (ushort)(_from - first), (ushort)(_at - first), (ushort)(_fromAtExtreme - first));
            LegLanes lanes = _finder._lanes ??= new LegLanes();
            int right = lanes.Walk(_codes.Slice(first, LegLanes.Early + (LegLanes.Lanes * rows)), rows, _hysteresis, ref state);
            if (right == 0) return at;

            for (int lane = 0; lane < right; lane++)
                foreach (LaneLeg leg in lanes.LegsOf(lane)) EndMeasured(leg.Rising, leg.ExcursionCodes, first + (lane * rows) + leg.From, leg.Scans);
            lanes.MoveTo(_finder._short, _hysteresis, _finder._highest - _finder._lowest);

            first += right * rows;
            _sign = (short)state.Flip;
            (_start, _extreme, _extremeOfSums) = (Unflipped(state.Start), Unflipped(state.Extreme), Unflipped(state.ExtremeOfSums));
            // Places of the stretch before may lie before the early codes.
            (_from, _at, _fromAtExtreme) = (first + (short)state.From, first + (short)state.At, first + (short)state.FromAtExtreme);
            again = right == LegLanes.Lanes;
            return first + LegLanes.Early;
        }

        // Codes that rise with the leg, as complements or as negative numbers.
        private readonly ushort Flipped(int code) => (ushort)(Up(code, _sign) ^ _sign);

        private readonly int Unflipped(ushort code) => Up((ushort)(code ^ _sign), _sign);
    }
}
