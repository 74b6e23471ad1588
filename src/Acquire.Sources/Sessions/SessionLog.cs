using Microsoft.Extensions.Logging;

namespace Acquire.Sources.Sessions;

/// <summary>What a session says in the log.</summary>
internal static partial class SessionLog
{
    [LoggerMessage(EventId = 1, Level = LogLevel.Information, Message = "{Source}: started")]
    public static partial void Started(ILogger logger, string source);

    [LoggerMessage(EventId = 2, Level = LogLevel.Information, Message = "{Source}: ended after {Scans} scans and {Sweeps} sweeps, {Lost} scans lost")]
    public static partial void Ended(ILogger logger, string source, long scans, long sweeps, long lost);

    [LoggerMessage(EventId = 3, Level = LogLevel.Error, Message = "{Source}: ended by a fault")]
    public static partial void Faulted(ILogger logger, Exception fault, string source);

    [LoggerMessage(EventId = 4, Level = LogLevel.Information, Message = "{Source}: {Channels} channels of {Bits} bits, {ScanRateHz} scans a second, device {Device}")]
    public static partial void Described(ILogger logger, string source, int channels, int bits, double? scanRateHz, string device);

    [LoggerMessage(EventId = 5, Level = LogLevel.Information, Message = "{Source}: the device says {Text}")]
    public static partial void Said(ILogger logger, string source, string text);

    [LoggerMessage(EventId = 6, Level = LogLevel.Debug, Message = "{Source}: sweep {Number} of scans {StartScan} to {EndScan}, {EndReason}")]
    public static partial void Sweep(ILogger logger, string source, long number, long startScan, long endScan, Sweeps.SweepEnd endReason);

    [LoggerMessage(EventId = 7, Level = LogLevel.Warning, Message = "{Source}: {Lost} scans lost and {Breaks} breaks since the sweep before")]
    public static partial void Lost(ILogger logger, string source, long lost, long breaks);

    [LoggerMessage(EventId = 8, Level = LogLevel.Warning, Message = "{Source}: {Dropped} sweeps dropped before sweep {Number}, for which no consumer had time")]
    public static partial void Dropped(ILogger logger, string source, long dropped, long number);

    [LoggerMessage(EventId = 10, Level = LogLevel.Warning, Message = "{Source}: lost its connection and has it again, {Times} times so far")]
    public static partial void Reconnected(ILogger logger, string source, long times);

    [LoggerMessage(EventId = 9, Level = LogLevel.Error, Message = "{Source}: did not end within {Seconds} s of being stopped; its thread is left to itself")]
    public static partial void LeftAlone(ILogger logger, string source, double seconds);
}
