using Acquire.Capture;
using Acquire.Harness.Inspect.Survey;
using Acquire.Sweeps;

namespace Acquire.Harness.Inspect.Findings;

/// <summary>Findings about the sweeps and their columns.</summary>
internal static class SweepFindings
{
    /// <summary>Deviation of a sweep time that counts, relative to the median.</summary>
    public const double TimeTolerance = 0.01;

    /// <summary>Pause between sweeps that counts, in usual distances from sweep to sweep.</summary>
    public const double LongestPause = 2;

    // Of the usual distance, a pause longer than the usual one by so much has room for a sweep.
    private const double RoomForASweep = 0.75;

    // Sweeps keep a beat where most distances are alike to this share.
    private const double SteadyBeat = 0.02;

    // A quarter of the sweep before: a flyback and what rings behind it take less, what a key aborts seldom does.
    private const long NearFlyback = 4;

    /// <summary>Legs each way by which the ramp's course is judged: two cut ones at a recording's ends may lie beside one whole leg.</summary>
    public const int LeastWholeLegs = 3;

    /// <summary>Draws them.</summary>
    public static IEnumerable<Finding> Of(InspectionFacts facts)
    {
        SweepTally sweeps = facts.Sweeps;
        bool swept = facts.Setup.Sweep.Mode == SweepMode.Swept;
        if (sweeps.Complete == 0 && swept)
        {
            yield return new Finding(FindingName.NoCompleteSweep, FindingSeverity.Error, 1,
                sweeps.Count == 0 ? "No sweep was found." : $"{Say.Count(sweeps.Count, "sweep was", "sweeps were")} found, none from edge to edge: {Ends(sweeps)}.",
                CureOfNone(facts));
        }

        if (sweeps.Ended(SweepEnd.Abort) is > 0 and long aborted)
        {
            yield return new Finding(FindingName.SweepsAborted, FindingSeverity.Warning, aborted,
                $"{Say.Count(aborted, "sweep", "sweeps")} of {sweeps.Count:N0} flew back before the end.",
                (MostFollowFlybacks(sweeps.First)
                    ? "They begin right behind a flyback and are short: the ramp rings there, by more than the twentieth of its way that counts as rest. Damp or filter it"
                    : "A key was pressed, a trigger came early, the ramp's contact is bad, or spikes on the ramp look like a retrace") + "; aborted sweeps are left out of hold and average.",
                sweeps.FirstEnded(SweepEnd.Abort));
        }

        if (facts.Ramp.FlybackSwings > 0 && sweeps.Complete > 0)
        {
            yield return new Finding(FindingName.FlybackRings, FindingSeverity.Note, facts.Ramp.FlybackSwings,
                $"The ramp rings behind its flyback: {Say.Count(facts.Ramp.FlybackSwings, "swing", "swings")} of a twentieth of its way or more came back no faster than they rose.",
                "They are taken for no sweeps. Damp or filter the ramp if sweeps start before the ringing has died away.",
                sweeps.FirstEnded(SweepEnd.Retrace));
        }

        if (swept && TimeVaries(facts) is { } varies) yield return varies;

        if (sweeps.SweepsWithUnfilled > 0)
        {
            // Of these sweeps alone: slower ones beside them have scans enough.
            double scans = (double)sweeps.ScansInUnfilled / sweeps.SweepsWithUnfilled;
            bool enough = scans >= 2.0 * facts.Setup.Columns.ColumnCount;
            // A few scans at the ends of a sweep are always blanked: a whole column in each of these sweeps.
            bool hidden = enough && facts.Accounting.Blanked >= sweeps.SweepsWithUnfilled * scans / facts.Setup.Columns.ColumnCount;
            yield return new Finding(FindingName.ColumnsWithoutScans, FindingSeverity.Warning, sweeps.SweepsWithUnfilled,
                $"{Say.Count(sweeps.SweepsWithUnfilled, "complete sweep has", "complete sweeps have")} unfilled columns, up to {sweeps.MostUnfilled:N0} of {facts.Setup.Columns.ColumnCount:N0} "
                + $"({Say.Number(scans, 6)} scans each on average).",
                hidden
                    ? $"The blanking line hides {Say.Count(facts.Accounting.Blanked, "scan", "scans")} on their way, which is right where the instrument blanks; otherwise check that line's lead and its threshold."
                    : enough
                    ? "Scans there are enough: the ramp jumps over these columns or never comes to them; see what is said of its course and its edges."
                    : $"Give fewer columns (--columns {Math.Max(2, (long)(scans / 2)):0}), scan faster or sweep slower.", sweeps.FirstWithUnfilled);
        }

        if (sweeps.Complete > 0 && sweeps.SweepsWithUnfilled * 2 <= sweeps.Complete && sweeps.ScansInColumns < 2.0 * sweeps.Complete * facts.Setup.Columns.ColumnCount)
        {
            double each = (double)sweeps.ScansInColumns / sweeps.Complete / facts.Setup.Columns.ColumnCount;
            yield return new Finding(FindingName.FewScansPerColumn, FindingSeverity.Note, sweeps.Complete,
                $"A column gets {Say.Number(each, 2)} scans on average; a peak and a minimum need two.",
                $"Give fewer columns (--columns {Math.Max(2, (long)(each * facts.Setup.Columns.ColumnCount / 2)):0}), scan faster or sweep slower.");
        }

        if (swept && Pauses(facts) is { } pauses) yield return pauses;
    }

    // What swings back at a flyback's end lies next to it and is short beside the sweep before.
    private static bool MostFollowFlybacks(IReadOnlyList<SweepRow> sweeps)
    {
        int aborted = 0, behind = 0;
        for (int i = 0; i < sweeps.Count; i++)
        {
            if (sweeps[i].Info.EndReason != SweepEnd.Abort) continue;
            aborted++;
            if (i == 0 || sweeps[i - 1].Info.EndReason != SweepEnd.Retrace) continue;
            long near = sweeps[i - 1].DurationScans / NearFlyback;
            if (sweeps[i].DurationScans < near && sweeps[i].Info.StartPosition - sweeps[i - 1].Info.EndPosition < near) behind++;
        }

        return behind * 2 > aborted;
    }

    private static string CureOfNone(InspectionFacts facts)
    {
        ChannelReport ramp = facts.RampChannel;
        if (ramp.LikelyRole != ChannelRole.Ramp && RampFindings.Of(facts).Any(f => f.Severity != FindingSeverity.Note)) return "See what is said of the ramp.";
        // As straight and as whole as it may be.
        if (facts.Sweeps.Count == 0 && RampFindings.IsNotBelieved(facts) && RampFindings.Of(facts).Any(f => f.Name is FindingName.RampTooSmall)) return "See what is said of the ramp's size.";
        if (DirectionFindings.Of(facts).Any()) return "See what is said of the direction.";
        // The survey sees no leg across a gap either, so what it says of the ramp is worth nothing then.
        long losses = facts.GapCount + facts.BreakCount, whole = facts.Scans / (losses + 1);
        if (losses > 0 && (facts.Sweeps.Count == 0 || facts.Sweeps.Ended(SweepEnd.Gap) + facts.Sweeps.Ended(SweepEnd.Break) > 0))
            return $"Mend the losses first: from one to the next come {Say.Scans(whole, facts.Setup)} on average, and a sweep is complete only where nothing is missing in it.";
        // A leg that the recording's end cuts short has no end to be judged by; one that came back as slowly as it went has.
        if (ramp.LikelyRole != ChannelRole.Ramp && (facts.Sweeps.Count == 0 || facts.Sweeps.Ended(SweepEnd.End) < facts.Sweeps.Count || facts.Ramp.FlybackSwings > 0))
            return $"Channel {ramp.Channel}, the ramp, {ramp.Reason}: check its lead, or name the ramp's channel with --ramp-channel.";
        if (facts.Setup.Sweep.Direction == RampDirection.Auto && IsAsStraightBack(ramp))
            return "The ramp goes back as straight as it came and in about the same time, so nothing tells which way the beam draws: give --direction both, or rising or falling if it draws one way only.";
        if (facts.Setup.Sweep.Direction == RampDirection.Auto && facts.Sweeps.Count == 0 && ramp.LikelyRole == ChannelRole.Ramp && Math.Min(ramp.RisingLegs.Count, ramp.FallingLegs.Count) >= LeastWholeLegs)
        {
            return "The ramp goes there and back again and again, but not straight enough for a sweep, which may be bowed by a tenth and stand still once: look for what makes it jump or bend on its way. "
                + "If it is to be so, --mode manual puts each scan where the ramp then stood, without sweeps.";
        }

        return "Record at least one whole sweep and its retrace; if edges were given, check that the ramp reaches them.";
    }

    // A retrace is never so slow and so straight that it must not be asked after.
    private static bool IsAsStraightBack(ChannelReport ramp)
    {
        LegStatistics up = ramp.RisingLegs, down = ramp.FallingLegs;
        return AreStraight(up) && AreStraight(down) && Math.Max(up.MeanScans, down.MeanScans) <= RoleGuess.FasterBack * Math.Min(up.MeanScans, down.MeanScans);

        static bool AreStraight(LegStatistics legs) => legs.Count > 0 && legs.VeryStraightCount >= RoleGuess.MostLegs * legs.Count;
    }

    private static Finding? Pauses(InspectionFacts facts)
    {
        IReadOnlyList<SweepRow> sweeps = facts.Sweeps.First;
        // The usual distance needs some sweeps to be known by.
        if (sweeps.Count < 4) return null;
        long[] distances = [.. sweeps.Skip(1).Select((s, i) => s.Info.StartPosition - sweeps[i].Info.StartPosition).Order()];
        long usual = distances[distances.Length / 2];
        double most = LongestPause * usual, between = most;
        // Scans that are known to be lost are no pause, so this goes by those that are there.
        long[] rests = [.. sweeps.Skip(1).Select((s, i) => s.Info.StartScan - sweeps[i].Info.EndScan)];
        // Where sweeps keep a beat one that is left out shows, however short the rests are.
        if (distances.Count(d => Math.Abs(d - usual) <= Math.Max(4, SteadyBeat * usual)) * 2 > distances.Length)
            between = Math.Min(most, rests.Order().ElementAt(rests.Length / 2) + (RoomForASweep * usual));

        // Slow sweeps among fast ones may rest for long: a pause is longer than one of the sweeps beside it.
        List<(long AtScan, long Scans)> pauses = [];
        if (sweeps[0].Info.StartScan > Math.Max(most, sweeps[0].DurationScans)) pauses.Add((0, sweeps[0].Info.StartScan));
        for (int i = 1; i < sweeps.Count; i++)
        {
            long pause = rests[i - 1];
            if (pause > between && pause > Math.Min(sweeps[i - 1].DurationScans, sweeps[i].DurationScans)) pauses.Add((sweeps[i - 1].Info.EndScan, pause));
        }

        long behind = facts.Scans - sweeps[^1].Info.EndScan;
        if (facts.Sweeps.Count == sweeps.Count && behind > Math.Max(most, sweeps[^1].DurationScans)) pauses.Add((sweeps[^1].Info.EndScan, behind));
        if (pauses.Count == 0) return null;
        return new Finding(FindingName.SweepsPause, FindingSeverity.Warning, pauses.Count,
            $"No sweep came for {Say.Scans(pauses.Max(p => p.Scans), facts.Setup)}, though one usually comes every {Say.Scans(usual, facts.Setup)}.",
            "The instrument waited for a trigger, was held, or the ramp's lead was off or made bad contact: look at the scan named.", pauses[0].AtScan);
    }

    private static Finding? TimeVaries(InspectionFacts facts)
    {
        List<SweepRow> others = [];
        long shortest = long.MaxValue, longest = 0, usual = 0, whole = 0;
        // A ramp that draws both ways need not be as fast one way as the other.
        foreach (IGrouping<RampDirection, SweepRow> way in facts.Sweeps.First.Where(s => s.Info.Complete).GroupBy(s => s.Info.Direction))
        {
            long[] times = [.. way.Select(s => s.DurationScans).Order()];
            long median = times[times.Length / 2];
            // Where an end lies in time is known to within the ramp's noise, divided by its slope.
            double blur = CourseFindings.SureDeviations * facts.RampChannel.NoiseCodes * median / Math.Max(1, facts.RampExcursionCodes);
            double tolerance = Math.Max(TimeTolerance * median, Math.Max(4, blur));
            SweepRow[] differ = [.. way.Where(s => Math.Abs(s.DurationScans - median) > tolerance)];
            whole += times.Length;
            if (differ.Length == 0) continue;
            others.AddRange(differ);
            (shortest, longest, usual) = (Math.Min(shortest, times[0]), Math.Max(longest, times[^1]), median);
        }

        if (others.Count == 0) return null;
        return new Finding(FindingName.SweepTimeVaries, FindingSeverity.Warning, others.Count,
            $"Complete sweeps take {Say.Scans(shortest, facts.Setup)} to {Say.Scans(longest, facts.Setup)}, usually {Say.Scans(usual, facts.Setup)}; {others.Count:N0} of {whole:N0} differ by more than 1 %.",
            "Columns follow the ramp, so the picture is right; but if the sweep time was not changed, the ramp generator is not steady.",
            others.Min(s => s.Info.StartScan));
    }

    private static string Ends(SweepTally sweeps)
    {
        List<string> ends = [];
        Add(sweeps.ShortOfEdges, "flew back short of an edge");
        Add(sweeps.Ended(SweepEnd.Retrace) - sweeps.Complete - sweeps.ShortOfEdges, "flew back at the end but had no beginning");
        Add(sweeps.Ended(SweepEnd.Abort), "flew back early");
        Add(sweeps.Ended(SweepEnd.Gap), "cut by a gap");
        Add(sweeps.Ended(SweepEnd.Break), "cut by a break");
        Add(sweeps.Ended(SweepEnd.End), "cut by the end of the recording");
        return string.Join(", ", ends);

        void Add(long count, string text)
        {
            if (count > 0) ends.Add($"{count:N0} {text}");
        }
    }
}
