using System.Diagnostics;
using Acquire.Recordings;

namespace Acquire.Harness.Inspect;

/// <summary>Walks a recording.</summary>
/// <param name="reader">Open recording; not closed here.</param>
internal sealed class RecordingWalk(RecordingReader reader) : IScanWalk
{
    private const int ScansPerRead = 64 * 1024;

    private readonly ushort[] _words = new ushort[ScansPerRead * reader.ChannelCount];

    /// <summary>Index of the first scan of the read in which the first value was no number; 0 where there is none.</summary>
    public long FirstNotANumber { get; private set; }

    /// <summary>Values that were no numbers, in the walk so far.</summary>
    public long NotANumber => reader.NotANumber;

    /// <inheritdoc/>
    public void Walk(IScanVisitor visitor, CancellationToken cancel)
    {
        reader.Rewind();
        bool more = true;
        while (more)
        {
            cancel.ThrowIfCancellationRequested();
            long before = reader.NotANumber, position = reader.Position;
            RecordingRead read = reader.Read(_words);
            if (before == 0 && reader.NotANumber > 0) FirstNotANumber = position;
            switch (read.Kind)
            {
                case RecordingReadKind.Scans:
                    more = visitor.Scans(_words.AsSpan(0, read.Scans * reader.ChannelCount));
                    break;
                case RecordingReadKind.Gap:
                    more = visitor.Lost(read.LostScans, read.Cause);
                    break;
                case RecordingReadKind.Break:
                    more = visitor.Broken(read.Cause);
                    break;
                case RecordingReadKind.End:
                    return;
                default:
                    throw new UnreachableException();
            }
        }
    }
}
