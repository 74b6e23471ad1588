using Microsoft.Extensions.Logging;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>Keeps what is logged, and can hold up the thread that logs.</summary>
internal sealed class WatchedLog : ILogger
{
    private readonly Lock _gate = new();
    private readonly List<(int Id, LogLevel Level, string Text)> _entries = [];

    /// <summary>Called with the event's number, on the logging thread.</summary>
    public Action<int>? OnEntry { get; init; }

    public (int Id, LogLevel Level, string Text)[] Entries
    {
        get
        {
            lock (_gate) return [.. _entries];
        }
    }

    public IDisposable? BeginScope<TState>(TState state)
        where TState : notnull => null;

    public bool IsEnabled(LogLevel logLevel) => true;

    public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
    {
        lock (_gate) _entries.Add((eventId.Id, logLevel, formatter(state, exception)));
        OnEntry?.Invoke(eventId.Id);
    }
}
