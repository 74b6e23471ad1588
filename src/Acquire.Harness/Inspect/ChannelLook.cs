using Acquire.Capture;
using Acquire.Harness.Inspect.Spectra;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Inspect;

/// <summary>First walk, one channel: its survey, and how alike it is to the ramp's channel.</summary>
internal sealed class ChannelLook : IScanVisitor
{
    private readonly ChannelSurvey _survey;
    private readonly Correlation? _alike;
    private readonly int _channel, _channelCount, _ramp;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="channel">Channel index.</param>
    /// <param name="format">Bits and roles as the setup has them.</param>
    public ChannelLook(int channel, ScanFormat format)
    {
        _channel = channel;
        _channelCount = format.ChannelCount;
        _ramp = format.RampChannel;
        _survey = new ChannelSurvey(channel, format);
        _alike = format.Roles[channel] == ChannelRole.Vertical ? new Correlation() : null;
    }

    /// <summary>Squared correlation with the ramp's channel, scan by scan; null where this is no vertical.</summary>
    public double? RampLike => _alike?.Result.Squared;

    /// <summary>What is known so far.</summary>
    public ChannelReport Report() => _survey.Report();

    /// <inheritdoc/>
    public bool Scans(ReadOnlySpan<ushort> scans)
    {
        _survey.Add(scans, _channelCount);
        _alike?.Add(scans, _channelCount, _channel, _ramp);
        return true;
    }

    /// <inheritdoc/>
    public bool Lost(long lostScans, GapCause cause)
    {
        _survey.Break();
        return true;
    }

    /// <inheritdoc/>
    public bool Broken(GapCause cause)
    {
        _survey.Break();
        return true;
    }
}
