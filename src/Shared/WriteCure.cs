namespace Acquire;

/// <summary>What to do when the system refuses to write.</summary>
/// <remarks>Compiled into every room that says so.</remarks>
internal static class WriteCure
{
    // Numbers of errno, which the platform hands on in HResult where it has no exception of its own: Linux, asm-generic/errno-base.h and errno.h;
    // macOS, sys/errno.h. They differ from 35 on.
    private const int InputOutput = 5, NoDevice = 6, IsFolder = 21, TooLarge = 27, NoSpace = 28, ReadOnlySystem = 30, BrokenPipe = 32;
    private const int QuotaOnLinux = 122, QuotaOnMac = 69;

    // ERROR_HANDLE_DISK_FULL and ERROR_DISK_FULL as HResults, winerror.h.
    private const int HandleDiskFullOnWindows = unchecked((int)0x80070027), DiskFullOnWindows = unchecked((int)0x80070070);

    /// <summary>Whether an exception is the system's refusal to write, and no mistake of ours.</summary>
    /// <param name="exception">As the platform threw it from a write, a flush or a close.</param>
    /// <remarks>A file that would become larger than its file system holds, 4 GiB on many memory cards, is told of as a wrong argument.</remarks>
    public static bool IsRefusal(Exception exception) =>
        exception is IOException or UnauthorizedAccessException or ArgumentOutOfRangeException { ParamName: "value" };

    /// <summary>The reason in the system's words, without an end mark.</summary>
    /// <param name="exception">As the platform threw it.</param>
    public static string ReasonOf(Exception exception) => exception switch
    {
        ArgumentOutOfRangeException => "File too large",
        PathTooLongException => "File name too long",
        _ => exception.Message.TrimEnd('.'),
    };

    /// <summary>The cure, without an end mark.</summary>
    /// <param name="exception">As the platform threw it, or one around it.</param>
    /// <param name="elsewhere">How to write to another place, e.g. "name another folder".</param>
    public static string Of(Exception exception, string elsewhere) => exception switch
    {
        UnauthorizedAccessException => $"change the permissions, or {elsewhere}",
        PathTooLongException => "give a shorter name",
        ArgumentOutOfRangeException => TooLargeCure(elsewhere),
        ArgumentException or NotSupportedException => "give another name",
        DirectoryNotFoundException or FileNotFoundException => $"create the folder, or {elsewhere}",
        { InnerException: { } inner } => Of(inner, elsewhere),
        _ => OfCode(exception.HResult, elsewhere),
    };

    /// <summary>Whether whoever read what is written has gone.</summary>
    /// <param name="exception">As the platform threw it.</param>
    public static bool ReaderHasGone(IOException exception) => !OperatingSystem.IsWindows() && exception.HResult == BrokenPipe;

    private static string TooLargeCure(string elsewhere) => $"the file system or a limit allows no larger file: write less into one, or {elsewhere}";

    private static string OfCode(int code, string elsewhere) => code switch
    {
        NoSpace or HandleDiskFullOnWindows or DiskFullOnWindows => $"free space, or {elsewhere}",
        QuotaOnLinux or QuotaOnMac => $"free space, since this user may take no more, or {elsewhere}",
        TooLarge => TooLargeCure(elsewhere),
        BrokenPipe => "its reader has gone: keep that open until the end, or name a file",
        IsFolder => "name a file inside it",
        ReadOnlySystem => $"have it made writable, or {elsewhere}",
        InputOutput or NoDevice => $"check the device, or {elsewhere}",
        _ => $"check its links and its device, or {elsewhere}",
    };
}
