using System.Diagnostics;
using Acquire.Capture;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>Keeps what it is told and lets another thread wait for it.</summary>
internal sealed class WatchedReceiver : IScanReceiver
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);
    private readonly object _gate = new();
    private readonly List<ushort> _words = [];
    private readonly List<string> _events = [];
    private long _wordCount;

    /// <summary>Whether words are kept; off where many come.</summary>
    public bool Keeps { get; init; } = true;

    /// <summary>Called with each block before it is kept.</summary>
    public Action? OnTake { get; init; }

    public StreamDescription? Description { get; private set; }

    public ushort[] Words
    {
        get
        {
            lock (_gate) return [.. _words];
        }
    }

    public string[] Events
    {
        get
        {
            lock (_gate) return [.. _events];
        }
    }

    public void Describe(StreamDescription description)
    {
        Description = description;
        Note("describe", 0);
    }

    public void Take(ReadOnlySpan<ushort> scans)
    {
        OnTake?.Invoke();
        lock (_gate)
        {
            if (Keeps) _words.AddRange(scans);
            _wordCount += scans.Length;
            Monitor.PulseAll(_gate);
        }
    }

    public void Skip(long lostScans, GapCause cause) => Note($"skip {lostScans} {cause}", 0);

    public void Break(GapCause cause, long atLeast) => Note($"break {cause} {atLeast}", 0);

    public void Mark(long position, ushort word) => Note($"mark {position} {word}", 0);

    public void Say(string text) => Note($"say {text}", 0);

    /// <summary>Waits until so many words have come.</summary>
    public void WaitForWords(long count) => WaitFor(() => _wordCount >= count, $"{count} words");

    /// <summary>Waits until an event has come.</summary>
    public void WaitForEvent(string what) => WaitFor(() => _events.Contains(what), what);

    private void WaitFor(Func<bool> met, string what)
    {
        long began = Stopwatch.GetTimestamp();
        lock (_gate)
        {
            while (!met())
            {
                TimeSpan left = Patience - Stopwatch.GetElapsedTime(began);
                if (left <= TimeSpan.Zero || !Monitor.Wait(_gate, left)) Assert.Fail($"Waited in vain for {what}; {_wordCount} words and [{string.Join("; ", _events)}] came.");
            }
        }
    }

    private void Note(string what, int words)
    {
        lock (_gate)
        {
            _events.Add(what);
            _wordCount += words;
            Monitor.PulseAll(_gate);
        }
    }
}
