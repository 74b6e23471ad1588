using Acquire.Capture;

namespace Acquire.Sources.Sessions;

/// <summary>What a source sees of a session. The source's thread.</summary>
internal sealed class SessionReceiver(string source, ScanFormat wanted, HalfExchange exchange, Action<StreamDescription> described, Action<string> said) : IScanReceiver
{
    // A rate that a device's divider makes of a round one still is that rate.
    private const double RateTolerance = 0.01;

    public void Describe(StreamDescription description)
    {
        ArgumentNullException.ThrowIfNull(description);
        if (Difference(description.Scan) is { } difference)
            throw new SourceException(SourceFailure.FormatDiffers, $"{ByteSource.Named(source)} {difference}; give a setup that fits the source.");
        described(description);
    }

    public void Take(ReadOnlySpan<ushort> scans) => exchange.Take(scans);

    public void Skip(long lostScans, GapCause cause) => exchange.Skip(lostScans, cause);

    public void Break(GapCause cause, long atLeast) => exchange.Break(cause, atLeast);

    public void Mark(long position, ushort word) => exchange.Mark(position, word);

    public void Say(string text) => said(text);

    private string? Difference(ScanFormat described)
    {
        if (!described.Roles.SequenceEqual(wanted.Roles))
            return $"its channels are {Words(described)}, those of the setup {Words(wanted)}";
        if (described.Bits != wanted.Bits) return $"its codes have {described.Bits} bits, those of the setup {wanted.Bits}";
        return described.ScanRateHz is { } rate && wanted.ScanRateHz is { } rateWanted && Math.Abs((rate / rateWanted) - 1) > RateTolerance
            ? $"it gives {rate:0.###} scans a second, the setup says {rateWanted:0.###}"
            : null;
    }

    private static string Words(ScanFormat format) => string.Join(", ", format.Roles.Select(role => role switch
    {
        ChannelRole.Ramp => "ramp",
        ChannelRole.Vertical => "vertical",
        ChannelRole.Blanking => "blanking",
        _ => "auxiliary",
    }));
}
