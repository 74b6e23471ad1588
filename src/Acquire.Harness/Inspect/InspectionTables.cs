using System.Globalization;
using System.Text;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Survey;
using Acquire.Harness.Output;
using Acquire.Sweeps;

namespace Acquire.Harness.Inspect;

/// <summary>What an inspection prints for people; fits into 80 columns.</summary>
/// <param name="tables">Gets the text.</param>
internal sealed class InspectionTables(PeopleTables tables)
{
    private const int Width = 78;
    private const int SweepsShown = 8;

    private static readonly CultureInfo Culture = CultureInfo.InvariantCulture;

    /// <summary>Prints everything.</summary>
    public void Print(InspectionFacts facts, IReadOnlyList<Finding> findings)
    {
        Head(facts);
        Channels(facts);
        Ramp(facts);
        Sweeps(facts);
        Gaps(facts);
        Accounts(facts);
        Findings(findings);
        foreach (string note in facts.Recording.Notes)
        {
            tables.Line("");
            Paragraph("Note: " + note, 0);
        }
    }

    private void Head(InspectionFacts facts)
    {
        double? rate = facts.Setup.Scan.ScanRateHz;
        string time = rate is { } hz ? $"{Say.Seconds(facts.Scans / hz)} at {Say.Number(hz, 9)} scans/s" : "scan rate unknown";
        tables.Line(facts.Recording.Name);
        tables.Line($"  {Say.Count(facts.Scans, "scan", "scans")}, {time}, {facts.Setup.Scan.ChannelCount} channels, {facts.Setup.Scan.Bits} bits");
        tables.Line("");
    }

    private void Channels(InspectionFacts facts)
    {
        tables.Table("Channels (codes)",
            [">channel", "role", ">lowest", ">highest", ">mean", ">noise", ">at rails", "likely"],
            facts.Channels.Select(c => new[]
            {
                Whole(c.Channel), StreamFindings.Role(c.Role), Whole(c.LowestCode), Whole(c.HighestCode), Say.Number(c.MeanCode),
                Say.Number(c.NoiseCodes, 2), Say.Share(c.RailShare), c.LikelyRole is { } likely ? StreamFindings.Role(likely) : "-",
            }));
        foreach (ChannelReport channel in facts.Channels) Paragraph($"Channel {channel.Channel} {channel.Reason}.", 2);
        tables.Line("");
    }

    private void Ramp(InspectionFacts facts)
    {
        RampReport ramp = facts.Ramp;
        if (!ramp.Present)
        {
            tables.Line("Ramp: none found.");
        }
        else
        {
            string direction = ramp.Direction == RampDirection.Both ? "drawn both ways" : WordNames.Of(ramp.Direction);
            Paragraph($"Ramp: {direction}, code {Say.Number(ramp.LowCode)} to {Say.Number(ramp.HighCode)}, noise {Say.RampCodes(ramp.NoiseCodes, facts.Setup)}, "
                + $"{Say.Number(facts.CodesPerColumn, 3)} codes a column of {facts.Setup.Columns.ColumnCount:N0}.", 0);
        }

        if (facts.Close is { } close && !double.IsNaN(close.PeriodScans))
            Paragraph($"A sweep comes every {Say.Scans(close.PeriodScans, facts.Setup)}; looked at closely: {Say.Count(close.Sweeps, "sweep", "sweeps")} from scan {Whole(close.StartScan)} on.", 2);
        tables.Line("");
    }

    private void Sweeps(InspectionFacts facts)
    {
        SweepTally sweeps = facts.Sweeps;
        if (sweeps.Count == 0)
        {
            tables.Line("Sweeps: none.");
            tables.Line("");
            return;
        }

        // A list that is only a little too long is shown whole: leaving out one line saves nothing.
        bool all = sweeps.Count <= SweepsShown + SweepTally.LastShown;
        List<string[]> rows = [.. sweeps.First.Take(all ? SweepsShown + SweepTally.LastShown : SweepsShown).Select(s => Row(s, facts.Setup))];
        if (!all)
        {
            rows.Add(["...", "", "", "", "", "", "", ""]);
            rows.AddRange(sweeps.Last.Select(s => Row(s, facts.Setup)));
        }

        string[] ends = [.. Enum.GetValues<SweepEnd>().Where(e => sweeps.Ended(e) > 0).Select(e => $"{Whole(sweeps.Ended(e))} {WordNames.Of(e)}")];
        tables.Table($"{Say.Count(sweeps.Count, "sweep", "sweeps")}, {Whole(sweeps.Complete)} complete; ended by: {string.Join(", ", ends)}",
            [">sweep", ">from scan", ">to scan", facts.Setup.Scan.ScanRateHz is null ? ">scans" : ">time", "starts", "ends", "whole", ">columns"], rows);
    }

    private void Gaps(InspectionFacts facts)
    {
        if (facts.Gaps.Count == 0) return;
        List<string[]> rows = [.. facts.Gaps.Take(SweepsShown).Select(g => new[] { Whole(g.AtScan), g.LostScans is { } lost ? Whole(lost) : "unknown", WordNames.Of(g.Cause) })];
        long more = facts.GapCount + facts.BreakCount - rows.Count;
        tables.Table($"Gaps and breaks{(more > 0 ? $" (the first of {Whole(more + rows.Count)})" : "")}", [">at scan", ">lost scans", "cause"], rows);
    }

    private void Accounts(InspectionFacts facts)
    {
        Accounting a = facts.Accounting;
        (string Name, long Scans)[] parts =
        [
            ("in columns", a.InColumns), ("overscan", a.Overscan), ("retrace", a.Retrace), ("rest", a.Rest), ("blanked", a.Blanked), ("unassigned", a.Unassigned),
        ];
        tables.Table("Where the scans went", ["", ">scans", ">share"],
        [
            .. parts.Select(p => new[] { p.Name, Whole(p.Scans), Say.Share((double)p.Scans / Math.Max(1, a.Scans)) }),
            ["all", Whole(a.Scans), Say.Share(1)],
            ["lost", Whole(a.Lost), a.Breaks > 0 ? $"and {Say.Count(a.Breaks, "break", "breaks")}" : ""],
        ]);
    }

    /// <summary>Prints the findings.</summary>
    public void Findings(IReadOnlyList<Finding> findings)
    {
        tables.Line(findings.Count == 0 ? "Findings: none." : $"Findings: {Whole(findings.Count)}");
        foreach (Finding finding in findings)
        {
            string often = finding.Count > 1 ? $", count {Whole(finding.Count)}" : "";
            string where = finding.AtScan > 0 ? $", from scan {Whole(finding.AtScan)}" : "";
            tables.Line("");
            tables.Line($"  {InspectionJson.WordOf(finding.Severity),-7}  {finding.Name}{often}{where}");
            Paragraph(finding.Message, 11);
            Paragraph("Cure: " + finding.Cure, 11);
        }
    }

    private static string[] Row(SweepRow row, Setup setup) =>
    [
        Whole(row.Info.Number), Whole(row.Info.StartScan), Whole(row.Info.EndScan), Say.Scans(row.DurationScans, setup).Replace(" scans", "", StringComparison.Ordinal),
        WordNames.Of(row.Info.StartReason), WordNames.Of(row.Info.EndReason), row.Info.Complete ? "yes" : "no", Whole(row.ColumnsFilled),
    ];

    private static string Whole(long value) => value.ToString("N0", Culture);

    private void Paragraph(string text, int indent)
    {
        foreach (string line in Wrap(text, Width - indent)) tables.Line(new string(' ', indent) + line);
    }

    private static IEnumerable<string> Wrap(string text, int width)
    {
        StringBuilder line = new();
        foreach (string word in text.Split(' '))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > width)
            {
                yield return line.ToString();
                line.Clear();
            }

            if (line.Length > 0) line.Append(' ');
            line.Append(word);
        }

        if (line.Length > 0) yield return line.ToString();
    }
}
