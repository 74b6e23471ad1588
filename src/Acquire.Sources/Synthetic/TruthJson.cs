using System.Text.Json;
using Acquire.Capture;

namespace Acquire.Sources.Synthetic;

/// <summary>The truth as JSON.</summary>
internal static class TruthJson
{
    public static void Write(Utf8JsonWriter writer, SyntheticTruth truth)
    {
        ArgumentNullException.ThrowIfNull(writer);
        SyntheticOptions options = truth.Options;
        writer.WriteStartObject();
        writer.WriteStartObject("recording");
        writer.WriteNumber("scans", truth.Scans);
        writer.WriteNumber("scanRate", options.ScanRateHz);
        writer.WriteNumber("channels", options.Roles.Count);
        writer.WriteNumber("bits", options.Bits);
        writer.WriteNumber("durationSeconds", truth.Scans / options.ScanRateHz);
        writer.WriteNumber("seed", options.Seed);
        writer.WriteBoolean("ended", truth.Ended);
        writer.WriteEndObject();
        WriteRamp(writer, options);
        writer.WriteStartArray("sweeps");
        foreach (TrueSweep sweep in truth.Sweeps) WriteSweep(writer, sweep, options.ScanRateHz);
        writer.WriteEndArray();
        writer.WriteStartArray("gaps");
        foreach (TrueGap gap in truth.Gaps)
        {
            writer.WriteStartObject();
            writer.WriteNumber("atScan", gap.AtScan);
            writer.WriteNumber("lostScans", gap.LostScans);
            writer.WriteString("cause", Word(options.Loss.Cause));
            writer.WriteEndObject();
        }

        writer.WriteEndArray();
        writer.WriteStartArray("breaks");
        foreach (TrueGap gap in truth.Breaks)
        {
            writer.WriteStartObject();
            writer.WriteNumber("atScan", gap.AtScan);
            writer.WriteNumber("hiddenScans", gap.LostScans);
            writer.WriteEndObject();
        }

        writer.WriteEndArray();
        WriteAccounting(writer, truth);
        writer.WriteEndObject();
    }

    private static void WriteRamp(Utf8JsonWriter writer, SyntheticOptions options)
    {
        RampModel ramp = options.Ramp;
        int full = options.Format.FullCode;
        writer.WriteStartObject("ramp");
        writer.WriteString("kind", Word(ramp.Kind));
        if (ramp.HasSweeps || ramp.Kind == RampKind.Manual)
        {
            writer.WriteNumber("lowCode", Math.Clamp(ramp.Low * full, 0, full));
            writer.WriteNumber("highCode", Math.Clamp(ramp.High * full, 0, full));
            writer.WriteBoolean("clipped", ramp.Low < 0 || ramp.High > 1);
        }

        writer.WriteNumber("noiseCodes", ramp.NoiseCodes);
        writer.WriteString("direction", ramp.Kind switch
        {
            RampKind.Rising => "rising",
            RampKind.Falling => "falling",
            RampKind.BothWays => "both",
            _ => "none",
        });
        writer.WriteEndObject();
    }

    private static void WriteSweep(Utf8JsonWriter writer, TrueSweep sweep, double scanRateHz)
    {
        writer.WriteStartObject();
        writer.WriteNumber("number", sweep.Number);
        writer.WriteNumber("startScan", sweep.StartScan);
        writer.WriteNumber("endScan", sweep.EndScan);
        writer.WriteNumber("startPosition", sweep.StartPosition);
        writer.WriteNumber("endPosition", sweep.EndPosition);
        writer.WriteNumber("durationSeconds", (sweep.EndPosition - sweep.StartPosition) / scanRateHz);
        writer.WriteBoolean("complete", sweep.Complete);
        writer.WriteString("startReason", Word(sweep.StartReason));
        writer.WriteString("endReason", Word(sweep.EndReason));
        writer.WriteString("direction", Word(sweep.Direction));
        writer.WriteNumber("instrumentSweep", sweep.InstrumentSweep);
        writer.WriteNumber("startFraction", sweep.StartFraction);
        writer.WriteNumber("endFraction", sweep.EndFraction);
        writer.WriteNumber("startRailScans", sweep.StartRailScans);
        writer.WriteNumber("endRailScans", sweep.EndRailScans);
        writer.WriteNumber("blankedScans", sweep.BlankedScans);
        writer.WriteEndObject();
    }

    private static void WriteAccounting(Utf8JsonWriter writer, SyntheticTruth truth)
    {
        writer.WriteStartObject("accounting");
        writer.WriteNumber("scans", truth.Scans);
        writer.WriteNumber("inColumns", truth.InColumns);
        writer.WriteNumber("overscan", truth.Overscan);
        writer.WriteNumber("retrace", truth.Retrace);
        writer.WriteNumber("rest", truth.Rest);
        writer.WriteNumber("blanked", truth.Blanked);
        writer.WriteNumber("unassigned", truth.Unassigned);
        writer.WriteNumber("lost", truth.Lost);
        writer.WriteNumber("breaks", truth.BreakCount);
        writer.WriteNumber("beamOff", truth.BeamOff);
        writer.WriteEndObject();
    }

    private static string Word(RampKind kind) => kind == RampKind.BothWays ? "both" : Word<RampKind>(kind);

    private static string Word<T>(T value)
        where T : struct, Enum => value.ToString().ToLowerInvariant();
}
