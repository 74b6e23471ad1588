using System.Diagnostics.Metrics;

namespace Acquire.Sources.Sessions;

/// <summary>The session's figures for the platform's meters, recorded once a sweep and at the end.</summary>
internal sealed class SessionMeter : IDisposable
{
    public const string Name = "Acquire";

    private readonly Meter _meter;
    private readonly Counter<long> _scans;
    private readonly Counter<long> _lost;
    private readonly Counter<long> _breaks;
    private readonly Counter<long> _sweeps;
    private readonly Counter<long> _dropped;
    private readonly Counter<long> _reconnections;
    private readonly Histogram<double> _latency;
    private SessionCounts _recorded;

    public SessionMeter(string source)
    {
        _meter = new Meter(new MeterOptions(Name)
        {
            Version = typeof(SessionMeter).Assembly.GetName().Version?.ToString(3),
            Tags = [new("source", source)],
        });
        _scans = _meter.CreateCounter<long>("acquire.scans", "{scan}", "Scans processed");
        _lost = _meter.CreateCounter<long>("acquire.scans.lost", "{scan}", "Scans known to be missing");
        _breaks = _meter.CreateCounter<long>("acquire.breaks", "{break}", "Places where an unknown number of scans is missing");
        _sweeps = _meter.CreateCounter<long>("acquire.sweeps", "{sweep}", "Sweeps ended");
        _dropped = _meter.CreateCounter<long>("acquire.sweeps.dropped", "{sweep}", "Sweeps that no consumer had time for");
        _reconnections = _meter.CreateCounter<long>("acquire.reconnections", "{reconnection}", "Times that a source lost its connection and made it anew");
        _latency = _meter.CreateHistogram<double>("acquire.latency", "s", "From the arrival of a sweep's last half to its report");
    }

    /// <summary>Adds what has come since it was called last.</summary>
    public void Record(in SessionCounts counts)
    {
        Add(_scans, counts.Accounting.Scans - _recorded.Accounting.Scans);
        Add(_lost, counts.Accounting.Lost - _recorded.Accounting.Lost);
        Add(_breaks, counts.Accounting.Breaks - _recorded.Accounting.Breaks);
        Add(_sweeps, counts.Sweeps - _recorded.Sweeps);
        Add(_dropped, counts.SweepsDropped - _recorded.SweepsDropped);
        Add(_reconnections, counts.Reconnections - _recorded.Reconnections);
        _recorded = counts;
    }

    public void RecordLatency(TimeSpan latency) => _latency.Record(latency.TotalSeconds);

    public void Dispose() => _meter.Dispose();

    private static void Add(Counter<long> counter, long difference)
    {
        if (difference > 0) counter.Add(difference);
    }
}
