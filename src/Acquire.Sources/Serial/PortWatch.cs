using System.Diagnostics;
using System.Runtime.InteropServices;
using System.Runtime.Versioning;
using Acquire.Sources.Native;

namespace Acquire.Sources.Serial;

/// <summary>Waits for an unplugged device: told by the kernel when something appears where the port was, never asking again and again.</summary>
[SupportedOSPlatform("linux")]
internal static class PortWatch
{
    private const uint Watched = Libc.WatchCreated | Libc.WatchMovedTo | Libc.WatchAttributes | Libc.WatchDeletedItself;
    private const int MostLinks = 8;

    /// <summary>Opens the port when it is there again.</summary>
    /// <param name="name">The source's name, for messages.</param>
    /// <param name="path">Path of the port.</param>
    /// <param name="options">How it is opened, and how long it is waited for.</param>
    /// <param name="stop">Ends the wait.</param>
    /// <param name="tryAtOnce">Whether it is tried before anything has changed.</param>
    /// <returns>The port, or null: stopped.</returns>
    /// <exception cref="SourceException">It did not come back in time, or cannot be had.</exception>
    public static TerminalPort? Reopen(string name, string path, SerialOptions options, StopEvent stop, bool tryAtOnce)
    {
        long began = Stopwatch.GetTimestamp();
        SourceException? last = null;
        byte[] events = new byte[4_096];
        while (!stop.IsSet)
        {
            int watch = Libc.WatchInit(Libc.NonBlocking | Libc.CloseOnExec);
            if (watch < 0) throw SerialFailures.Unplugged(name, TimeSpan.Zero);
            try
            {
                // First the watch, then the look: what appears in between is seen by one of the two.
                AddFolders(watch, path);
                try
                {
                    if (tryAtOnce) return TerminalPort.Open(name, path, options);
                }
                catch (SourceException exception) when (exception.Failure is not (SourceFailure.NotTerminal or SourceFailure.IsFolder or SourceFailure.Unsupported))
                {
                    // Not there yet, or there with permissions that are still to be set.
                    last = exception;
                }

                tryAtOnce = true;
                int left = TimeLeftMs(options.ReplugWait, began);
                if (left == 0) throw GaveUp(name, options, last);
                if (!DescriptorPump.Wait(watch, stop, out int errno, left))
                    return errno == 0 ? null : throw SerialFailures.OfOpen(name, errno);
                _ = Libc.Read(watch, ref MemoryMarshal.GetArrayDataReference(events), events.Length);
            }
            finally
            {
                _ = Libc.Close(watch);
            }
        }

        return null;
    }

    // The name may be a link that goes with the device, in a folder that goes with it: the nearest folder that is still there is watched, for
    // each name on the way to the device.
    private static void AddFolders(int watch, string path)
    {
        string? name = Path.GetFullPath(path);
        for (int links = 0; name is not null && links < MostLinks; links++)
        {
            AddNearest(watch, Path.GetDirectoryName(name));
            string? target = TargetOf(name);
            name = target is null ? null : Path.GetFullPath(target, Path.GetDirectoryName(name) ?? "/");
        }
    }

    // A folder that appears between the look for it and the watch on the one above it tells nobody: it is looked for once more.
    private static void AddNearest(int watch, string? folder)
    {
        string? watched = null;
        while (true)
        {
            string? nearest = folder;
            while (nearest is not null && !string.Equals(nearest, watched, StringComparison.Ordinal) && Libc.WatchAdd(watch, nearest, Watched) < 0) nearest = Path.GetDirectoryName(nearest);
            if (nearest is null || string.Equals(nearest, watched, StringComparison.Ordinal) || string.Equals(nearest, folder, StringComparison.Ordinal)) return;
            watched = nearest;
        }
    }

    private static string? TargetOf(string name)
    {
        try
        {
            return new FileInfo(name).LinkTarget;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            // The folder goes away at this moment, or may not be looked into: what is known is watched.
            return null;
        }
    }

    private static int TimeLeftMs(TimeSpan wait, long began)
    {
        if (wait == Timeout.InfiniteTimeSpan) return -1;
        double left = (wait - Stopwatch.GetElapsedTime(began)).TotalMilliseconds;
        return left <= 0 ? 0 : (int)Math.Min(int.MaxValue, Math.Ceiling(left));
    }

    private static SourceException GaveUp(string name, SerialOptions options, SourceException? last) =>
        last is { Failure: SourceFailure.Busy or SourceFailure.NotPermitted } ? last : SerialFailures.Unplugged(name, options.ReplugWait, last);
}
