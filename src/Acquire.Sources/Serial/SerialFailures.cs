using Acquire.Sources.Native;

namespace Acquire.Sources.Serial;

/// <summary>What is said when a serial port cannot be had.</summary>
internal static class SerialFailures
{
    public static SourceException OfOpen(string name, int errno) => errno switch
    {
        Errno.NoEntry or Errno.NotDirectory or Errno.Loop or Errno.NameTooLong => Missing(name),
        Errno.NoDevice or Errno.NoSuchDevice or Errno.InputOutput =>
            new(SourceFailure.Missing, $"{name}: there is no device behind this port; check the cable, or choose another port."),
        Errno.Access or Errno.NotPermitted => NotPermitted(name),
        Errno.Busy or Errno.Again => Busy(name),
        Errno.IsDirectory => new(SourceFailure.IsFolder, $"{name}: that is a folder; name one port in it."),
        Errno.NotTerminal or Errno.Invalid or Errno.ReadOnlyFiles => NotTerminal(name),
        _ => new(SourceFailure.Unreadable, $"{name}: the port could not be opened ({SystemText.Of(errno)}); unplug the device, plug it in again and retry."),
    };

    public static SourceException OfSettings(string name, SerialOptions options, int errno) => errno switch
    {
        Errno.Invalid => new(SourceFailure.Unsupported, $"{name}: the port does not take {options.Baud:N0} baud; give a rate that it has (baud=115200)."),
        _ => OfOpen(name, errno),
    };

    public static SourceException OfRate(string name, SerialOptions options, uint actual) =>
        new(SourceFailure.Unsupported, $"{name}: the port cannot do {options.Baud:N0} baud, it gives {actual:N0}; set the device and baud= to a rate that the port has.");

    public static SourceException Missing(string name) =>
        new(SourceFailure.Missing, $"{name}: there is no such port; check the cable and the port's name.");

    public static SourceException NotPermitted(string name, Exception? cause = null) =>
        new(SourceFailure.NotPermitted, $"{name}: this user may not open the port; join the group that owns it (ls -l shows it, often dialout) and log in again.", cause);

    public static SourceException Busy(string name, Exception? cause = null) =>
        new(SourceFailure.Busy, $"{name}: another program holds the port; close that program.", cause);

    public static SourceException NotTerminal(string name, Exception? cause = null) =>
        new(SourceFailure.NotTerminal, $"{name}: that is no serial port; give the port's own name, or file: for a recording.", cause);

    public static SourceException Unplugged(string name, TimeSpan waited, Exception? cause = null) => new(
        SourceFailure.Unplugged,
        waited <= TimeSpan.Zero
            ? $"{name}: the device went away; check cable and supply, then start again."
            : $"{name}: the device went away and did not come back within {waited.TotalSeconds:0.###} s; check cable and supply, then start again.",
        cause);
}
