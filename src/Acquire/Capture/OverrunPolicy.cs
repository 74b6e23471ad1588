namespace Acquire.Capture;

/// <summary>What happens when a half has to be filled that the consumer still holds.</summary>
public enum OverrunPolicy
{
    /// <summary>The producer is a program: it skips the scans that have no place and counts them. No half is ever touched by both sides.</summary>
    Drop,

    /// <summary>The producer is hardware, which goes on: unread halves are lost and counted, a half overwritten while it is read is suspect.</summary>
    Overwrite,
}
