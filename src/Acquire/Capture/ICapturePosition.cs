namespace Acquire.Capture;

/// <summary>How far hardware has come, read in one step from a counter that never wraps.</summary>
/// <remarks>
/// A device whose counter wraps is read by its driver in an order that cannot show scans that have not arrived (wraps before
/// position). Called by both threads of a buffer.
/// </remarks>
public interface ICapturePosition
{
    /// <summary>Scans written to memory since the start; never falls.</summary>
    long ScansWritten { get; }
}
