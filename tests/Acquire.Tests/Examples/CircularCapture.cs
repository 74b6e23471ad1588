using Acquire;
using Acquire.Capture;

// Takes scans that hardware writes into two halves, round and round, without asking.
internal sealed class CircularCapture(SweepEngine engine, PingPongBuffer buffer)
{
    // No longer than a half, on the loop's side: hardware may write over the half while it is copied, and only then it is known.
    private readonly ushort[] _copy = new ushort[buffer.Options.WordCount / 2];

    // The transfer's half and full events, on the interrupt's or the driver's thread.
    public void HalfIsFull(int index) => buffer.HalfReady(index);

    // The loop's thread.
    public void Turn()
    {
        while (buffer.TryBeginDrain(out DrainedHalf half))
        {
            foreach (ScanGap gap in half.GapsBefore)
            {
                if (gap.IsBreak) engine.Break(gap.Cause);
                else engine.Skip(gap.LostScans, gap.Cause);
            }

            half.Scans.CopyTo(_copy);
            bool suspect = buffer.CompleteDrain() == HalfCondition.Suspect;
            engine.Process(_copy, suspect);
        }
    }
}
