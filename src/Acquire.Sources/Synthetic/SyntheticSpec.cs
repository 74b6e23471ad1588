using System.Text.Json;
using Acquire.Capture;

namespace Acquire.Sources.Synthetic;

/// <summary>A synthetic bench described in words: JSON in a scenario, NAME=VALUE settings on a command line, <c>synth:NAME?settings</c> as a source.</summary>
/// <remarks>
/// A description starts from a named bench (<c>"bench": "through"</c>) or from a kind and seed (<c>"kind": "hum"</c>, see
/// <see cref="BenchKind"/>) and changes members. Numbers may carry units ("50 kHz", "0.4 s", "10 %"); times of the cycle are scans
/// where they have none. Without scans, duration or sweeps the stream ends after ten sweeps.
/// </remarks>
public static class SyntheticSpec
{
    private const long UsualSweeps = 10;

    /// <summary>Names of the benches that a description can start from.</summary>
    public static IReadOnlyList<string> BenchNames => SyntheticPresets.Names;

    /// <summary>Reads a description.</summary>
    /// <param name="description">A JSON object, or a text with the name of a bench or kind.</param>
    /// <returns>Valid options.</returns>
    /// <exception cref="SyntheticSpecException">A member is not known or has a wrong value; the message names it in one line.</exception>
    public static SyntheticOptions Parse(JsonElement description)
    {
        if (description.ValueKind == JsonValueKind.String) return ParseSource(description.GetString()!);
        SpecObject spec = new(new SpecValue(description, ""));
        SyntheticOptions options = Read(spec);
        spec.Finish();
        try
        {
            options.Validate();
        }
        catch (ArgumentException error)
        {
            throw new SyntheticSpecException(error.Message.ReplaceLineEndings(" "), error);
        }

        return options;
    }

    /// <summary>Reads NAME=VALUE settings; nested names have a point: <c>ramp.noise=2</c>, <c>sweep.retrace=10 %</c>.</summary>
    /// <param name="settings">Settings in any order; a name twice is refused.</param>
    /// <exception cref="SyntheticSpecException">A setting is not known or has a wrong value; the message names it in one line.</exception>
    public static SyntheticOptions ParseSettings(IEnumerable<string> settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return Parse(Spec.Tree(settings));
    }

    /// <summary>Reads what follows <c>synth:</c> in a source: the name of a bench or kind, then if wanted ? and settings with &amp; between.</summary>
    /// <param name="source">For example <c>bandstop?seed=5&amp;ramp.noise=2</c>.</param>
    /// <exception cref="SyntheticSpecException">The name or a setting is not known or has a wrong value; the message names it in one line.</exception>
    public static SyntheticOptions ParseSource(string source)
    {
        ArgumentNullException.ThrowIfNull(source);
        int mark = source.IndexOf('?', StringComparison.Ordinal);
        string name = mark < 0 ? source : source[..mark];
        string[] settings = mark < 0 ? [] : source[(mark + 1)..].Split('&', StringSplitOptions.RemoveEmptyEntries);
        bool isBench = SyntheticPresets.Names.Contains(name, StringComparer.Ordinal);
        if (!isBench && !Enum.GetNames<BenchKind>().Select(Spec.Hyphened).Contains(name, StringComparer.Ordinal))
        {
            throw new SyntheticSpecException(
                $"'{name}' is no synthetic bench; benches are {string.Join(", ", SyntheticPresets.Names)}, kinds are {string.Join(", ", Enum.GetNames<BenchKind>().Select(Spec.Hyphened))}.");
        }

        return ParseSettings([$"{(isBench ? "bench" : "kind")}={name}", .. settings]);
    }

    private static SyntheticOptions Read(SpecObject spec)
    {
        ulong? seed = spec["seed"]?.Seed();
        SpecValue? bench = spec["bench"], kind = spec["kind"];
        if (bench is not null && kind is not null) throw new SyntheticSpecException("bench and kind are both given; give one of them.");
        SyntheticOptions start = kind is { } k ? BenchKinds.Draw(k.Word<BenchKind>(), seed ?? 1)
            : bench is { } b ? SyntheticPresets.Find(b)
            : new SyntheticOptions { Sweeps = UsualSweeps };
        SyntheticOptions options = start with
        {
            Seed = seed ?? start.Seed,
            ScanRateHz = spec.Number("scanRate", start.ScanRateHz, "Hz"),
            Bits = spec.Count("bits", start.Bits),
            Roles = spec["channels"] is { } channels ? [.. channels.List().Select(c => c.Word<ChannelRole>())] : start.Roles,
        };
        options = ReadLength(spec, options);
        options = ReadAxis(spec, options);
        options = options with { Sweep = SpecCycle.ReadSweep(spec, options) };
        options = options with
        {
            Ramp = SpecRamp.Read(spec, options),
            Converter = spec.Part("converter", options.Converter, o => SpecLine.ReadConverter(o, options.Converter)) ?? new(),
            Blanking = spec.Part("blanking", options.Blanking, o => SpecLine.ReadBlanking(o, options)) ?? new(),
            Loss = SpecLine.ReadLoss(spec, options),
        };
        return options with { Verticals = SpecVertical.ReadAll(spec, options) };
    }

    private static SyntheticOptions ReadLength(SpecObject spec, SyntheticOptions options)
    {
        SpecValue? scans = spec["scans"], duration = spec["duration"], sweeps = spec["sweeps"];
        if (scans is null && duration is null && sweeps is null) return options;
        return options with
        {
            Scans = scans is { IsNone: false } s ? s.Whole() : null,
            DurationSeconds = duration is { IsNone: false } d ? d.Number("s") : null,
            Sweeps = sweeps is { IsNone: false } n ? n.Whole() : null,
        };
    }

    private static SyntheticOptions ReadAxis(SpecObject spec, SyntheticOptions options)
    {
        if (spec["axis"] is not { } axis) return options;
        IReadOnlyList<SpecValue> ends = axis.List();
        return ends.Count == 2
            ? options with { StartHz = ends[0].Number("Hz"), EndHz = ends[1].Number("Hz") }
            : throw axis.Wrong("two frequencies, at the start and at the end of the sweep, such as [\"5 kHz\", \"55 kHz\"]");
    }
}
