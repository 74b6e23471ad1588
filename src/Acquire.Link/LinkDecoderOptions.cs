using Acquire.Capture;

namespace Acquire.Link;

/// <summary>What a <see cref="LinkDecoder"/> does where the device leaves it open.</summary>
public sealed record LinkDecoderOptions
{
    /// <summary>What scans are taken for until the device has described them; used where its channel count is that of the scans.</summary>
    /// <value>Default null: channel 0 is the ramp, the others are verticals.</value>
    public StreamDescription? Assumed { get; init; }

    /// <summary>Whether a frame of an unknown major version throws; otherwise it is counted like other frames that are of no use.</summary>
    /// <value>Default true; false where bytes are only looked at.</value>
    public bool StopAtUnknownMajor { get; init; } = true;

    /// <summary>Sees every piece with its verdict.</summary>
    /// <value>Default null: nobody.</value>
    public ILinkObserver? Observer { get; init; }
}
