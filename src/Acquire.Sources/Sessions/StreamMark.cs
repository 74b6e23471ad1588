namespace Acquire.Sources.Sessions;

/// <summary>A word that holds from a scan on, on its way to the engine.</summary>
/// <param name="Position">Position of the scan in the stream, lost scans counted.</param>
/// <param name="Word">The word.</param>
/// <param name="Breaks">Breaks of the stream before it was said.</param>
internal readonly record struct StreamMark(long Position, ushort Word, long Breaks);
