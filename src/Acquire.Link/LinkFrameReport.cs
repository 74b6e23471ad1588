namespace Acquire.Link;

/// <summary>One piece between two delimiters: where it stood and what became of it.</summary>
/// <param name="Offset">Bytes taken before its first byte; since the decoder was built.</param>
/// <param name="EncodedBytes">Bytes between the delimiters.</param>
/// <param name="Verdict">What became of it.</param>
/// <param name="Header">Its header, or null where the piece is not sound enough to be believed.</param>
/// <param name="Scans">Scans in it that were used.</param>
/// <param name="LostBefore">Scans that it shows to be missing in front of it.</param>
/// <param name="Break">Whether an unknown number of scans is missing in front of it.</param>
public readonly record struct LinkFrameReport(
    long Offset, int EncodedBytes, LinkVerdict Verdict, LinkHeader? Header, int Scans, long LostBefore, bool Break);
