using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Scales;

namespace Acquire.Sources.Recording;

/// <summary>The setup that a source's own description gives.</summary>
public static class StreamSetup
{
    /// <summary>Channels, bits, scan rate and volts as described; everything else as by default, and which way is up marked as a guess.</summary>
    /// <param name="description">What the source says.</param>
    public static SetupDocument Of(StreamDescription description)
    {
        ArgumentNullException.ThrowIfNull(description);
        ScanFormat scan = description.Scan;
        VerticalScale[] scales = [.. scan.VerticalChannels.Select(channel => new VerticalScale { Volts = description.VoltsOf(channel) })];
        Setup setup = new()
        {
            Scan = scan,
            RampVolts = description.VoltsOf(scan.RampChannel),
            Verticals = scales.All(scale => scale.Volts is null) ? [] : scales,
        };
        return new SetupDocument(setup, [.. setup.Verticals.Select((_, v) => $"verticals[{v}].up")]);
    }

    /// <summary>Whether a description only gives what has to be taken for granted, since one came too late for what the device said of itself; another one then adds to it.</summary>
    internal static bool IsAddedToBy(StreamDescription assumed, StreamDescription said) =>
        assumed.Device.Length == 0 && assumed.Scan.ScanRateHz is null && assumed.Volts.All(volts => volts is null)
        && assumed.Scan.ChannelCount == said.Scan.ChannelCount && assumed.Scan.Bits == said.Scan.Bits;

    /// <summary>Whether two descriptions give scans that may stand in one recording with one setup; the device's name and its half do not matter.</summary>
    internal static bool IsSame(StreamDescription one, StreamDescription other) =>
        one.Scan.Roles.SequenceEqual(other.Scan.Roles) && one.Scan.Bits == other.Scan.Bits && Nullable.Equals(one.Scan.ScanRateHz, other.Scan.ScanRateHz)
        && Enumerable.Range(0, one.Scan.ChannelCount).All(channel => Equals(one.VoltsOf(channel), other.VoltsOf(channel)));
}
