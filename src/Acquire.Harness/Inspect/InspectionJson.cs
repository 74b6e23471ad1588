using System.Text.Json;
using Acquire.Capture;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Spectra;
using Acquire.Harness.Inspect.Survey;
using Acquire.Harness.Output;

namespace Acquire.Harness.Inspect;

/// <summary>Writes what was found as one JSON object, straight to the stream.</summary>
internal static class InspectionJson
{
    /// <summary>Writes it.</summary>
    /// <param name="stream">Gets the text; not closed.</param>
    /// <param name="facts">What was seen.</param>
    /// <param name="findings">What was found.</param>
    /// <param name="allSweeps">Runs the engine again and shows every sweep to the sink; null lists those that were kept.</param>
    /// <param name="first">Writes members that come before all others, or null.</param>
    public static void Write(
        Stream stream, InspectionFacts facts, IReadOnlyList<Finding> findings, Action<ISweepSink>? allSweeps, Action<Utf8JsonWriter>? first = null)
    {
        using Utf8JsonWriter json = new(stream, new JsonWriterOptions { Indented = true, NewLine = "\n" });
        json.WriteStartObject();
        first?.Invoke(json);
        Recording(json, facts);
        Ramp(json, facts, findings);
        Channels(json, facts.Channels);
        json.WriteStartArray("sweeps");
        SweepWriter sink = new(json, stream, facts.Setup);
        if (allSweeps is null)
        {
            foreach (SweepRow row in facts.Sweeps.First) sink.Write(row);
        }
        else
        {
            allSweeps(sink);
        }

        json.WriteEndArray();
        json.WriteNumber("sweepsLeftOut", facts.Sweeps.Count - sink.Written);
        Gaps(json, facts);
        Accounts(json, facts.Accounting);
        if (facts.Close is { } close) Close(json, close, facts.Setup);
        json.WriteStartArray("findings");
        foreach (Finding finding in findings) Write(json, finding);
        json.WriteEndArray();
        json.WriteStartArray("notes");
        foreach (string note in facts.Recording.Notes) json.WriteStringValue(note);
        json.WriteEndArray();
        json.WriteEndObject();
        json.Flush();
        stream.WriteByte((byte)'\n');
    }

    /// <summary>Writes what was found where there is no scan to look at.</summary>
    /// <param name="stream">Gets the text; not closed.</param>
    /// <param name="findings">What was found.</param>
    /// <param name="first">Writes members that come before all others.</param>
    public static void WriteWithoutScans(Stream stream, IReadOnlyList<Finding> findings, Action<Utf8JsonWriter> first)
    {
        using Utf8JsonWriter json = new(stream, new JsonWriterOptions { Indented = true, NewLine = "\n" });
        json.WriteStartObject();
        first(json);
        json.WriteStartArray("findings");
        foreach (Finding finding in findings) Write(json, finding);
        json.WriteEndArray();
        json.WriteEndObject();
        json.Flush();
        stream.WriteByte((byte)'\n');
    }

    private static void Recording(Utf8JsonWriter json, InspectionFacts facts)
    {
        double? rate = facts.Setup.Scan.ScanRateHz;
        json.WriteStartObject("recording");
        json.WriteString("name", facts.Recording.Name);
        json.WriteNumber("scans", facts.Scans);
        JsonNumbers.Write(json, "scanRate", rate);
        json.WriteNumber("channels", facts.Setup.Scan.ChannelCount);
        json.WriteNumber("bits", facts.Setup.Scan.Bits);
        JsonNumbers.Write(json, "durationSeconds", facts.Scans / rate);
        json.WriteEndObject();
    }

    private static void Ramp(Utf8JsonWriter json, InspectionFacts facts, IReadOnlyList<Finding> findings)
    {
        RampReport ramp = facts.Ramp;
        ChannelReport channel = facts.RampChannel;
        json.WriteStartObject("ramp");
        json.WriteBoolean("present", ramp.Present);
        // Without a ramp there are still codes on its channel.
        JsonNumbers.Write(json, "lowCode", ramp.Present ? ramp.LowCode : channel.LowestCode);
        JsonNumbers.Write(json, "highCode", ramp.Present ? ramp.HighCode : channel.HighestCode);
        JsonNumbers.Write(json, "noiseCodes", ramp.Present ? ramp.NoiseCodes : channel.NoiseCodes);
        json.WriteString("direction", WordNames.Of(ramp.Direction));
        json.WriteBoolean("clipped", findings.Any(f => f.Name is FindingName.RampClipped));
        json.WriteNumber("axisChanges", ramp.AxisChanges);
        json.WriteEndObject();
    }

    private static void Channels(Utf8JsonWriter json, IReadOnlyList<ChannelReport> channels)
    {
        json.WriteStartArray("channels");
        foreach (ChannelReport channel in channels)
        {
            json.WriteStartObject();
            json.WriteNumber("channel", channel.Channel);
            json.WriteString("role", StreamFindings.Role(channel.Role));
            json.WriteNumber("lowestCode", channel.LowestCode);
            json.WriteNumber("highestCode", channel.HighestCode);
            JsonNumbers.Write(json, "meanCode", channel.MeanCode);
            JsonNumbers.Write(json, "noiseCodes", channel.NoiseCodes);
            json.WriteNumber("railShare", channel.RailShare);
            json.WriteNumber("invalidCodes", channel.InvalidCodes);
            if (channel.LikelyRole is { } likely) json.WriteString("likelyRole", StreamFindings.Role(likely));
            else json.WriteNull("likelyRole");
            json.WriteString("reason", channel.Reason);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void Gaps(Utf8JsonWriter json, InspectionFacts facts)
    {
        json.WriteStartArray("gaps");
        foreach (GapRow gap in facts.Gaps)
        {
            json.WriteStartObject();
            json.WriteNumber("atScan", gap.AtScan);
            // A break has lost an unknown number.
            if (gap.LostScans is { } lost) json.WriteNumber("lostScans", lost);
            else json.WriteNull("lostScans");
            json.WriteString("cause", WordNames.Of(gap.Cause));
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteNumber("gapsLeftOut", facts.GapCount + facts.BreakCount - facts.Gaps.Count);
    }

    private static void Accounts(Utf8JsonWriter json, Accounting a)
    {
        json.WriteStartObject("accounting");
        json.WriteNumber("scans", a.Scans);
        json.WriteNumber("inColumns", a.InColumns);
        json.WriteNumber("overscan", a.Overscan);
        json.WriteNumber("retrace", a.Retrace);
        json.WriteNumber("rest", a.Rest);
        json.WriteNumber("blanked", a.Blanked);
        json.WriteNumber("unassigned", a.Unassigned);
        json.WriteNumber("lost", a.Lost);
        json.WriteNumber("breaks", a.Breaks);
        json.WriteNumber("invalidCodes", a.InvalidCodes);
        json.WriteEndObject();
    }

    private static void Close(Utf8JsonWriter json, CloseLook close, Setup setup)
    {
        json.WriteStartObject("closeLook");
        json.WriteNumber("sweeps", close.Sweeps);
        json.WriteNumber("startScan", close.StartScan);
        json.WriteNumber("endScan", close.EndScan);
        JsonNumbers.Write(json, "periodScans", Math.Round(close.PeriodScans, 3));
        JsonNumbers.Write(json, "startSlopeCodesPerScan", close.StartSlope);
        JsonNumbers.Write(json, "endSlopeCodesPerScan", close.EndSlope);
        json.WriteNumber("rampSpikes", close.Spikes);
        Lines(json, "rampLines", close.RampLines, setup);
        json.WriteStartArray("verticals");
        foreach (VerticalCloseLook vertical in close.Verticals)
        {
            json.WriteStartObject();
            json.WriteNumber("channel", vertical.Channel);
            Lines(json, "linesWithinSweeps", vertical.LinesWithinSweeps, setup);
            Lines(json, "linesAcrossSweeps", vertical.LinesAcrossSweeps, setup);
            JsonNumbers.Write(json, "retraceCorrelationSquared", vertical.Retrace.Squared);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Lines(Utf8JsonWriter json, string name, IReadOnlyList<SpectralLine> lines, Setup setup)
    {
        json.WriteStartArray(name);
        foreach (SpectralLine line in lines)
        {
            json.WriteStartObject();
            JsonNumbers.Write(json, "hertz", line.CyclesPerScan * setup.Scan.ScanRateHz);
            json.WriteNumber("cyclesPerScan", line.CyclesPerScan);
            json.WriteNumber("amplitudeCodes", line.Amplitude);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void Write(Utf8JsonWriter json, Finding finding)
    {
        json.WriteStartObject();
        json.WriteString("finding", finding.Name);
        json.WriteString("severity", WordOf(finding.Severity));
        json.WriteNumber("count", finding.Count);
        json.WriteString("message", finding.Message);
        json.WriteString("cure", finding.Cure);
        json.WriteNumber("atScan", finding.AtScan);
        json.WriteEndObject();
    }

    /// <summary>The word for a severity.</summary>
    public static string WordOf(FindingSeverity severity) => severity switch
    {
        FindingSeverity.Error => "error",
        FindingSeverity.Warning => "warning",
        _ => "note",
    };

    private sealed class SweepWriter(Utf8JsonWriter json, Stream stream, Setup setup) : ISweepSink
    {
        private const int FlushAtBytes = 32 * 1024;

        public long Written { get; private set; }

        public void SweepEnded(in SweepView sweep) => Write(new SweepRow(sweep.Info, SweepTally.Filled(sweep)));

        public void Write(in SweepRow row)
        {
            json.WriteStartObject();
            json.WriteNumber("number", row.Info.Number);
            json.WriteNumber("startScan", row.Info.StartScan);
            json.WriteNumber("endScan", row.Info.EndScan);
            JsonNumbers.Write(json, "durationSeconds", row.DurationScans / setup.Scan.ScanRateHz);
            json.WriteBoolean("complete", row.Info.Complete);
            json.WriteString("startReason", WordNames.Of(row.Info.StartReason));
            json.WriteString("endReason", WordNames.Of(row.Info.EndReason));
            json.WriteString("placement", WordNames.PlacementOf(row.Info));
            json.WriteNumber("columnsFilled", row.ColumnsFilled);
            json.WriteString("direction", WordNames.Of(row.Info.Direction));
            json.WriteNumber("axis", row.Info.AxisNumber);
            json.WriteEndObject();
            Written++;
            if (json.BytesPending < FlushAtBytes) return;
            json.Flush();
            stream.Flush();
        }
    }
}
