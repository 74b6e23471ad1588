using System.Diagnostics;
using System.Runtime.ExceptionServices;
using Acquire.Harness.Runs;
using Acquire.Recordings;

namespace Acquire.Harness.Inspect;

/// <summary>Walks a recording: one thread reads ahead, and each visitor has a thread of its own, the first one the caller's.</summary>
/// <param name="reader">Open recording; not closed here.</param>
internal sealed class RecordingWalk(RecordingReader reader) : IScanWalk
{
    private const int ScansPerRead = 64 * 1024;

    // One walk after another reads into the same memory.
    private readonly ScanPiece[] _pieces = ReadAhead.PiecesOf(reader, ScansPerRead);

    /// <summary>Index of the first scan of the read in which the first value was no number; 0 where there is none.</summary>
    public long FirstNotANumber { get; private set; }

    /// <summary>Values that were no numbers, in the longest walk so far.</summary>
    public long NotANumber { get; private set; }

    /// <inheritdoc/>
    public void Walk(IScanVisitor visitor, CancellationToken cancel) => Walk([visitor], cancel);

    /// <inheritdoc/>
    public void Walk(IReadOnlyList<IScanVisitor> visitors, CancellationToken cancel)
    {
        using CancellationTokenSource stop = CancellationTokenSource.CreateLinkedTokenSource(cancel);
        using ReadAhead ahead = new(reader, _pieces, visitors.Count);
        ExceptionDispatchInfo? failure = null;
        Thread[] others = [.. Enumerable.Range(1, visitors.Count - 1).Select(taker => new Thread(() => Try(taker)) { IsBackground = true, Name = "survey" })];
        foreach (Thread other in others) other.Start();
        Try(0);
        foreach (Thread other in others) other.Join();
        failure?.Throw();

        void Try(int taker)
        {
            try
            {
                Show(ahead, taker, visitors[taker], stop.Token);
            }
            catch (Exception exception)
            {
                // The first counts: the others only hear that it is over.
                Interlocked.CompareExchange(ref failure, ExceptionDispatchInfo.Capture(exception), null);
                stop.Cancel();
            }
            finally
            {
                ahead.Leave(taker);
            }
        }
    }

    private void Show(ReadAhead ahead, int taker, IScanVisitor visitor, CancellationToken cancel)
    {
        bool more = true;
        while (more)
        {
            ScanPiece piece = ahead.Next(taker, cancel);
            RecordingRead read = piece.Read;
            if (taker == 0) Count(piece);
            switch (read.Kind)
            {
                case RecordingReadKind.Scans:
                    more = visitor.Scans(piece.Scans);
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

    private void Count(ScanPiece piece)
    {
        if (NotANumber == 0 && piece.NotANumber > 0) FirstNotANumber = piece.Position;
        NotANumber = Math.Max(NotANumber, piece.NotANumber);
    }
}
