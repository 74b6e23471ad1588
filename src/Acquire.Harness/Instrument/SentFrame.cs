using Acquire.Link;

namespace Acquire.Harness.Instrument;

/// <summary>A frame as it was given to the line.</summary>
/// <param name="Kind">What it carries.</param>
/// <param name="Run">Run that it belongs to.</param>
/// <param name="Sequence">Its number in the run.</param>
/// <param name="Position">Position of the first scan in it or after it.</param>
/// <param name="Scans">Scans in it.</param>
internal readonly record struct SentFrame(LinkFrameKind Kind, ushort Run, uint Sequence, ulong Position, int Scans);
