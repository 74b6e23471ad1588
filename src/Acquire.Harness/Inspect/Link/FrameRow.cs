using Acquire.Link;

namespace Acquire.Harness.Inspect.Link;

/// <summary>One frame, or one piece that is none, as it is listed.</summary>
/// <param name="Report">What the decoder says of it.</param>
/// <param name="Number">Its number in the file, from 0.</param>
internal readonly record struct FrameRow(LinkFrameReport Report, long Number);
