using System.Buffers.Binary;
using System.Text;
using Acquire.Capture;
using Acquire.Scales;

namespace Acquire.Link;

/// <summary>The payload of a description frame.</summary>
internal static class LinkDescription
{
    // channels 1, bits 1, scans of a half 4, rate numerator 4, rate denominator 4; each channel: role 1, microvolts at code 0 and at full code 4 + 4; text length 1, text
    private const int FixedBytes = 14;
    private const int ChannelBytes = 9;

    /// <summary>Most bytes of the device text.</summary>
    public const int MostTextBytes = 255;

    public const int MostBytes = FixedBytes + (ScanFormat.MaxChannels * ChannelBytes) + 1 + MostTextBytes;

    private const decimal MicrovoltsPerVolt = 1_000_000m;

    public static int Write(StreamDescription description, Span<byte> payload)
    {
        description.Scan.Validate();
        int channels = description.Scan.ChannelCount;
        payload[0] = (byte)channels;
        payload[1] = (byte)description.Scan.Bits;
        BinaryPrimitives.WriteUInt32LittleEndian(payload[2..], (uint)(description.ScansPerHalf ?? 0));
        (uint numerator, uint denominator) = Ratio.Of(description.Scan.ScanRateHz);
        BinaryPrimitives.WriteUInt32LittleEndian(payload[6..], numerator);
        BinaryPrimitives.WriteUInt32LittleEndian(payload[10..], denominator);
        int at = FixedBytes;
        for (int c = 0; c < channels; c++, at += ChannelBytes)
        {
            payload[at] = (byte)description.Scan.Roles[c];
            BinaryPrimitives.WriteInt32LittleEndian(payload[(at + 1)..], Microvolts(description.VoltsOf(c)?.AtCodeZero));
            BinaryPrimitives.WriteInt32LittleEndian(payload[(at + 5)..], Microvolts(description.VoltsOf(c)?.AtFullCode));
        }

        int text = WriteText(description.Device, payload.Slice(at + 1, MostTextBytes));
        payload[at] = (byte)text;
        return at + 1 + text;
    }

    /// <summary>Reads a payload.</summary>
    /// <param name="payload">Payload.</param>
    /// <param name="exact">Whether nothing may follow: later minor versions may append.</param>
    /// <param name="description">The description.</param>
    public static LinkVerdict Read(ReadOnlySpan<byte> payload, bool exact, out StreamDescription? description)
    {
        description = null;
        if (payload.Length < FixedBytes) return LinkVerdict.Length;
        int channels = payload[0];
        int text = FixedBytes + (channels * ChannelBytes);
        if (payload.Length <= text) return LinkVerdict.Length;
        int end = text + 1 + payload[text];
        if (payload.Length < end || (exact && payload.Length != end)) return LinkVerdict.Length;

        var roles = new ChannelRole[channels];
        var volts = new CodeVolts?[channels];
        for (int c = 0; c < channels; c++)
        {
            ReadOnlySpan<byte> channel = payload.Slice(FixedBytes + (c * ChannelBytes), ChannelBytes);
            roles[c] = (ChannelRole)channel[0];
            int low = BinaryPrimitives.ReadInt32LittleEndian(channel[1..]);
            int high = BinaryPrimitives.ReadInt32LittleEndian(channel[5..]);
            volts[c] = low == high ? null : new CodeVolts(low / MicrovoltsPerVolt, high / MicrovoltsPerVolt);
        }

        uint half = BinaryPrimitives.ReadUInt32LittleEndian(payload[2..]);
        uint numerator = BinaryPrimitives.ReadUInt32LittleEndian(payload[6..]);
        uint denominator = BinaryPrimitives.ReadUInt32LittleEndian(payload[10..]);
        if (!IsPossible(roles, payload[1]) || half > int.MaxValue || (numerator != 0 && denominator == 0)) return LinkVerdict.Contents;
        description = new StreamDescription
        {
            Scan = new ScanFormat { Roles = roles, Bits = payload[1], ScanRateHz = numerator == 0 ? null : (double)numerator / denominator },
            Volts = volts,
            Device = Encoding.UTF8.GetString(payload.Slice(text + 1, payload[text])),
            ScansPerHalf = half == 0 ? null : (int)half,
        };
        return LinkVerdict.Accepted;
    }

    /// <summary>As many whole characters as fit.</summary>
    public static int WriteText(string text, Span<byte> bytes)
    {
        System.Text.Unicode.Utf8.FromUtf16(text, bytes, out _, out int written);
        return written;
    }

    private static bool IsPossible(ChannelRole[] roles, int bits)
    {
        if (roles.Length is < 2 or > ScanFormat.MaxChannels || bits is < 1 or > 16) return false;
        int ramps = 0;
        int verticals = 0;
        int blankings = 0;
        foreach (ChannelRole role in roles)
        {
            if (role > ChannelRole.Auxiliary) return false;
            if (role == ChannelRole.Ramp) ramps++;
            if (role == ChannelRole.Vertical) verticals++;
            if (role == ChannelRole.Blanking) blankings++;
        }

        return ramps == 1 && verticals > 0 && blankings <= 1;
    }

    private static int Microvolts(decimal? volts)
    {
        if (volts is not { } value) return 0;
        if (Math.Abs(value) > int.MaxValue / MicrovoltsPerVolt)
            throw new ArgumentException($"A channel goes to {value} V; a description holds at most {int.MaxValue / MicrovoltsPerVolt} V either way. Leave the volts out and put them into the setup.");
        return (int)decimal.Round(value * MicrovoltsPerVolt);
    }
}
