namespace Acquire.Harness.Inspect.Spectra;

/// <summary>A further walk: the means of verticals by the ramp's course.</summary>
/// <param name="sweeps">Complete sweeps, at least one.</param>
/// <param name="profiles">Means to fill.</param>
/// <param name="channelCount">Words in a scan.</param>
internal sealed class ProfileLook(IReadOnlyList<SweepRow> sweeps, IReadOnlyList<VerticalProfile> profiles, int channelCount)
    : SweepSection(sweeps, channelCount)
{
    private readonly int _channelCount = channelCount;

    /// <inheritdoc/>
    protected override void Inside(SweepRow sweep, long offset, ReadOnlySpan<ushort> scans)
    {
        for (int i = 0; i < scans.Length; i += _channelCount, offset++)
        {
            foreach (VerticalProfile profile in profiles)
                profile.Add(profile.PlaceOf(SweepIndex, offset, scans[i + profile.RampChannel]), scans[i + profile.Channel]);
        }
    }
}
