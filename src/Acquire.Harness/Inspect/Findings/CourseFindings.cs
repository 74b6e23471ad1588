using Acquire.Capture;
using Acquire.Harness.Inspect.Spectra;
using Acquire.Harness.Inspect.Survey;
using Acquire.Scales;

namespace Acquire.Harness.Inspect.Findings;

/// <summary>Findings about the ramp's course within sweeps: ripple, steps, droop, spikes, mains.</summary>
internal static class CourseFindings
{
    /// <summary>Change of the ramp's slope from start to end that counts: on a parabola it bends the middle by an eighth of it, 1.25 % of the screen.</summary>
    public const double SlopeChange = 0.1;

    /// <summary>The same where the ramp drifts at rest besides: half a column of a thousand.</summary>
    public const double LeastSlopeChangeWithDrift = 0.004;

    /// <summary>Standard deviations of noise that never happen by chance.</summary>
    public const double SureDeviations = 12;

    /// <summary>Draws them.</summary>
    public static IEnumerable<Finding> Of(InspectionFacts facts) =>
        facts.Close is { } close ? Shape(facts, close).Concat(Ripple(facts, close)).Concat(Spikes(facts, close)).Concat(Leak(facts, close)).Concat(Lock(facts, close)) : Blocked(facts);

    /// <summary>Distance of a channel's mean from 0 V, in its range, up to which it counts as 0.</summary>
    public const double ZeroMean = 0.01;

    // The part of a sweep with which a recording ends moves the mean of n of them: half a sawtooth lies a quarter of its range below 0, which is 1 / (8 n).
    private static double MostZeroMean(ChannelReport ramp) => Math.Max(ZeroMean, 0.125 / Math.Max(1, Math.Min(ramp.RisingLegs.Count, ramp.FallingLegs.Count)));

    // The slope says nothing where what drifts at rest passes for the start of the sweep (no cubic follows the corner between them), or where the retrace, which
    // comes through, passes for it.
    private static IEnumerable<Finding> Shape(InspectionFacts facts, CloseLook close)
    {
        Finding[] found = [.. Slope(facts, close)];
        bool isDoubtful = close.EndSlope / close.StartSlope < 1 - SlopeChange || facts.Accounting.InColumns < facts.Scans / 4;
        return found.Length > 0 || !isDoubtful ? found : Blocked(facts);
    }

    // Behind a capacitor every channel's mean is 0 V, whatever the instrument gives. Where sweeps are slower than the capacitor there is no ramp left to look at,
    // so this is looked at where no course can be.
    private static IEnumerable<Finding> Blocked(InspectionFacts facts)
    {
        ChannelReport ramp = facts.RampChannel;
        ChannelReport[] moving = [.. facts.Channels.Where(channel => channel.Role is ChannelRole.Ramp or ChannelRole.Vertical && !channel.Still)];
        if (ramp.Still || moving.Length < 2) yield break;
        double[] shares = [.. moving.Select(channel => Math.Abs(channel.MeanCode - ZeroCode(facts, channel)) / channel.UsualRangeCodes)];
        if (!shares.All(share => share <= MostZeroMean(ramp))) yield break;
        yield return new Finding(FindingName.RampDroops, FindingSeverity.Warning, 1,
            $"The mean of {Say.Count(moving.Length, "channel", "channels")} is 0 V, to within {Say.Share(shares.Max())} of what they reach: the input blocks direct voltage, and a ramp that is slow for it does not come through.",
            "Record through an input that passes direct voltage, as a converter of a microcontroller does; through this one only sweeps much quicker than its coupling keep their shape.", 0);
    }

    // Not a number where nobody said which code 0 V is.
    private static double ZeroCode(InspectionFacts facts, ChannelReport channel)
    {
        IReadOnlyList<int> verticals = facts.Setup.Scan.VerticalChannels;
        CodeVolts? volts = channel.Role == ChannelRole.Ramp ? facts.Setup.RampVolts
            : facts.Setup.VerticalScaleOf(verticals.Index().First(vertical => vertical.Item == channel.Channel).Index).Volts;
        int full = facts.Setup.Scan.FullCode;
        if (volts is not null) return (double)(-volts.AtCodeZero / (volts.AtFullCode - volts.AtCodeZero) * full);
        return facts.Recording.ZeroIsMiddle ? (full + 1) / 2.0 : double.NaN;
    }

    private static IEnumerable<Finding> Slope(InspectionFacts facts, CloseLook close)
    {
        double change = (close.EndSlope / close.StartSlope) - 1;
        if (!double.IsFinite(change) || change <= -1) yield break;
        (RailReport low, RailReport high) = RampFindings.RailsOfSweeps(facts);
        if (low.Stays + high.Stays > 0) yield break;
        // A kink or a pause changes the slope too, but a cubic does not follow it: it leaves a fifteenth of the bend and more.
        double bend = Math.Abs(close.EndSlope - close.StartSlope) * close.FittedScans / 8;
        double? constant = CouplingScans(facts, close, change);
        if (bend < (constant is null ? 20 : 5) * close.CourseErrorCodes) yield break;
        if (constant is null && Math.Abs(change) < SlopeChange) yield break;
        string how = $"from {Say.Number(Math.Abs(close.StartSlope), 3)} codes a scan at the start to {Say.Number(Math.Abs(close.EndSlope), 3)} at the end";
        if (change > 0)
        {
            yield return new Finding(FindingName.RampBowed, FindingSeverity.Note, close.Sweeps,
                $"The ramp speeds up by {Say.Share(change)} during a sweep, {how}.",
                "Columns follow the ramp, so nothing is wrong; only do not read times from columns.", close.StartScan);
            yield break;
        }

        string coupling = constant is { } scans
            ? $"and it drifts at rest: both as behind a coupling capacitor with a time constant of about {Say.Scans(scans, facts.Setup)}"
            : "as a ramp does behind a coupling capacitor";
        yield return new Finding(FindingName.RampDroops, FindingSeverity.Warning, close.Sweeps,
            $"The ramp slows down by {Say.Share(-change)} during a sweep, {how}, {coupling}.",
            "Couple the ramp directly: behind a capacitor its volts are not where the beam is. If the ramp really is bowed, columns follow it rightly.", close.StartScan);
    }

    // Behind a capacitor the slope falls off with the time constant during a sweep, and at rest the ramp drifts towards its mean with the same one.
    private static double? CouplingScans(InspectionFacts facts, CloseLook close, double change)
    {
        if (change > -LeastSlopeChangeWithDrift || !(Math.Abs(close.RestSlope) > 5 * close.RestSlopeNoise)) return null;
        double perScan = -Math.Log(1 + change) / close.FittedScans, atRest = close.RestSlope / (facts.RampChannel.MeanCode - close.RestLevel);
        return atRest > perScan / 2 && atRest < perScan * 2 ? 1 / perScan : null;
    }

    private static IEnumerable<Finding> Ripple(InspectionFacts facts, CloseLook close)
    {
        // Half a code: the steps of the converter itself make a line of 1/pi = 0.32 codes. A quarter column: less is not seen.
        double least = Math.Max(0.5, facts.CodesPerColumn / 4);
        if (close.RampLines.FirstOrDefault(l => l.Amplitude >= least && StandsOut(l, close)) is not { Amplitude: > 0 } line) yield break;

        // An even staircase is a straight line plus a sawtooth one step high. Read N scans a step, its first line has the amplitude
        // step / (N sin(pi / N)), near step / pi, and the second half of it.
        double slope = Math.Abs(close.StartSlope + close.EndSlope) / 2, f = line.CyclesPerScan, step = slope / f;
        double expected = step * f / Math.Sin(Math.PI * f);
        bool second = f > 0.2 || close.RampLines.Any(l => Math.Abs(l.CyclesPerScan - (2 * f)) < 0.01 * f && l.Amplitude > 0.35 * line.Amplitude && l.Amplitude < 0.65 * line.Amplitude);
        if (step >= 2 && second && Math.Abs((line.Amplitude / expected) - 1) < 0.2)
        {
            yield return new Finding(FindingName.RampStaircase, FindingSeverity.Note, close.Sweeps,
                $"The ramp is a staircase: steps of {Say.RampCodes(step, facts.Setup)}, {Say.Number(facts.RampExcursionCodes / step, 3)} of them over a sweep.",
                $"A digital ramp: more columns than steps show nothing new. Give --columns {Math.Max(2, Math.Floor(facts.RampExcursionCodes / step)):0} at most.", close.StartScan);
            yield break;
        }

        string mains = facts.Setup.Scan.ScanRateHz is { } rate && Mains.Of(line.CyclesPerScan * rate) is { } found
            ? found.Multiple == 1 ? ", the mains" : $", {found.Multiple} times the mains" : "";
        yield return new Finding(FindingName.RampRipple, FindingSeverity.Warning, close.Sweeps,
            $"The ramp has a ripple of {Say.RampCodes(line.Amplitude, facts.Setup)} peak ({Say.Number(line.Amplitude / facts.CodesPerColumn, 2)} columns) at {Say.Frequency(line.CyclesPerScan, facts.Setup)}{mains}.",
            facts.Setup.Columns.RippleIsReal
                ? "The setup says that it is real and tunes the oscillator; it is kept."
                : "Fitted placement takes it out, which is right if it was picked up on the way. If it tunes the oscillator, set rippleIsReal in the setup.", close.StartScan);
    }

    // A pause or a kink can look like a wave of few cycles; then the wave is only a small part of what the course leaves.
    private static bool StandsOut(SpectralLine line, CloseLook close) =>
        line.CyclesPerScan * close.FittedScans >= 10 || line.Amplitude * line.Amplitude / 2 >= close.CourseErrorCodes * close.CourseErrorCodes / 10;

    private static IEnumerable<Finding> Spikes(InspectionFacts facts, CloseLook close)
    {
        if (close.Spikes == 0) yield break;
        yield return new Finding(FindingName.RampSpikes, FindingSeverity.Warning, close.Spikes,
            $"The ramp has {Say.Count(close.Spikes, "spike", "spikes")} of a single scan within {Say.Count(close.Sweeps, "sweep", "sweeps")}.",
            "Switching noise, a loose lead, or damaged codes: look at the scan named. Fitted placement is not misled by a few.", close.FirstSpike);
    }

    // Hum, steps and spikes that both channels have are no leak of the one into the other.
    private static IEnumerable<Finding> Leak(InspectionFacts facts, CloseLook close)
    {
        if (close.Spikes > 0 || Ripple(facts, close).Any()) yield break;
        foreach (VerticalCloseLook vertical in close.Verticals)
        {
            CrosstalkReport leak = vertical.InRamp;
            double codes = Math.Abs(leak.Gain) * leak.SwingCodes;
            if (!(codes >= Math.Max(1, facts.CodesPerColumn / 2) && leak.Deviations >= SureDeviations && leak.ShareExplained >= 0.5 && leak.WeakerFlank >= 0.5)) continue;
            yield return new Finding(FindingName.RampCarriesVertical, FindingSeverity.Warning, close.Sweeps,
                $"The ramp carries {Say.Share(Math.Abs(leak.Gain))} of what channel {vertical.Channel}, a vertical, does: up to {Say.RampCodes(codes, facts.Setup)}, {Say.Number(codes / facts.CodesPerColumn, 2)} columns. Responses lie beside their place by up to as much.",
                "The converter still holds part of what it read before, or both signals share a ground wire: give the ramp a source of low impedance (a buffer), sample longer or read it twice, and give each signal a ground of its own."
                + (HasFewTurns(facts, close) ? " Hum on both looks the same where a sweep has so few turns of the mains: see whether it stays with the vertical at rest." : ""), close.StartScan);
            yield break;
        }
    }

    // Ripple of fewer than five cycles is not told from the course.
    private static bool HasFewTurns(InspectionFacts facts, CloseLook close) =>
        facts.Setup.Scan.ScanRateHz is not { } rate || close.FittedScans / rate * Mains.LowestHertz < 5;

    private static IEnumerable<Finding> Lock(InspectionFacts facts, CloseLook close)
    {
        if (facts.Setup.Scan.ScanRateHz is not { } rate || double.IsNaN(close.PeriodScans)) yield break;
        double period = close.PeriodScans / rate;
        (string Where, double Hertz, double Amplitude)[] lines =
        [
            .. close.RampLines.Where(l => l.Amplitude >= 0.5 && StandsOut(l, close)).Select(l => ("the ramp", l.CyclesPerScan * rate, l.Amplitude)),
            .. close.Verticals.SelectMany(v => v.LinesWithinSweeps
                .Where(l => l.Amplitude >= VerticalFindings.LeastHumCodes(facts))
                .Select(l => ($"channel {v.Channel}", l.CyclesPerScan * rate, l.Amplitude))),
        ];
        foreach ((string where, double hertz, double amplitude) in lines)
        {
            if (Mains.Of(hertz) is not { } mains) continue;
            double turns = period * mains.Hertz, off = turns - Math.Round(turns);
            // A twentieth of a turn: over 22 turns a grid that is off by 0.2 % has slipped so far.
            if (Math.Round(turns) < 1 || Math.Abs(off) > 0.05 || close.PeriodSpreadScans / rate * mains.Hertz > 0.05) continue;
            yield return new Finding(FindingName.LineLockedSweep, FindingSeverity.Note, close.Sweeps,
                $"A sweep comes every {Say.Seconds(period)}, {Math.Round(turns):N0} turns of {mains.Hertz:0} Hz, and {where} carries a wave of {Say.Number(amplitude, 3)} codes at {Say.Hertz(hertz)}: it stands still in the picture.",
                "Averaging does not remove hum that stands still; trigger freely or change the sweep time and see whether it moves. If it does not, it is signal.", close.StartScan);
            yield break;
        }
    }
}
