using Acquire.Recordings;

namespace Acquire.Harness.Runs;

/// <summary>Reads a recording from its start on a thread of its own, a few pieces ahead of those who take them.</summary>
/// <remarks>
/// Memory is that of the pieces, whatever the recording's length. Each taker sees every piece, in order; one that has left is not waited for.
/// The recording's reader belongs to this object until it is disposed.
/// </remarks>
internal sealed class ReadAhead : IDisposable
{
    private const int Pieces = 4;

    private readonly RecordingReader _reader;
    private readonly long _untilScan;
    private readonly ScanPiece[] _pieces;
    private readonly long[] _givenBack;
    private readonly bool[] _holds;
    private readonly Lock _gate = new();
    private readonly SemaphoreSlim _room = new(0);
    private readonly SemaphoreSlim[] _ready;
    private readonly Thread _thread;
    private long _filled;
    private volatile bool _stopped;

    /// <summary>Rewinds the recording and begins to read.</summary>
    /// <param name="reader">Open recording.</param>
    /// <param name="scansPerRead">Scans of a piece at most.</param>
    /// <param name="takers">How many take every piece.</param>
    /// <param name="untilScan">Index in the file before which reading stops without an end; the last piece ends there.</param>
    public ReadAhead(RecordingReader reader, int scansPerRead, int takers = 1, long untilScan = long.MaxValue)
        : this(reader, PiecesOf(reader, scansPerRead), takers, untilScan)
    {
    }

    /// <summary>As the other one, with the memory of a walk before.</summary>
    /// <param name="reader">Open recording.</param>
    /// <param name="pieces">From <see cref="PiecesOf"/>; of this object until it is disposed.</param>
    /// <param name="takers">How many take every piece.</param>
    /// <param name="untilScan">Index in the file before which reading stops without an end; the last piece ends there.</param>
    public ReadAhead(RecordingReader reader, ScanPiece[] pieces, int takers, long untilScan = long.MaxValue)
    {
        reader.Rewind();
        _reader = reader;
        _untilScan = untilScan;
        _pieces = pieces;
        _givenBack = new long[takers];
        _holds = new bool[takers];
        _ready = [.. _givenBack.Select(_ => new SemaphoreSlim(0))];
        _thread = new Thread(Run) { IsBackground = true, Name = "read ahead" };
        _thread.Start();
    }

    /// <summary>Memory to read into.</summary>
    /// <param name="reader">Open recording.</param>
    /// <param name="scansPerRead">Scans of a piece at most.</param>
    public static ScanPiece[] PiecesOf(RecordingReader reader, int scansPerRead) =>
        [.. Enumerable.Range(0, Pieces).Select(_ => new ScanPiece(scansPerRead * reader.ChannelCount))];

    /// <summary>Waits for a taker's next piece; the one it had before is given back.</summary>
    /// <param name="taker">0 is the first.</param>
    /// <param name="cancel">Ends the wait.</param>
    /// <remarks>Not to be called after the last piece, nor when the scan is reached at which reading stops.</remarks>
    /// <exception cref="OperationCanceledException">It was cancelled.</exception>
    public ScanPiece Next(int taker, CancellationToken cancel)
    {
        if (_holds[taker]) GiveBack(taker, _givenBack[taker] + 1);
        _holds[taker] = false;
        cancel.ThrowIfCancellationRequested();
        _ready[taker].Wait(cancel);
        _holds[taker] = true;
        return _pieces[_givenBack[taker] % Pieces];
    }

    /// <summary>A taker wants no more.</summary>
    /// <param name="taker">0 is the first.</param>
    public void Leave(int taker)
    {
        _holds[taker] = false;
        GiveBack(taker, long.MaxValue);
    }

    /// <summary>Ends reading; the recording's reader is free again.</summary>
    public void Dispose()
    {
        _stopped = true;
        _room.Release();
        _thread.Join();
        _room.Dispose();
        foreach (SemaphoreSlim ready in _ready) ready.Dispose();
    }

    private void GiveBack(int taker, long pieces)
    {
        lock (_gate) _givenBack[taker] = pieces;
        _room.Release();
    }

    private void Run()
    {
        while (!_stopped && _reader.Position < _untilScan && WaitsForRoom())
        {
            ScanPiece piece = _pieces[_filled % Pieces];
            piece.Fill(_reader, _untilScan - _reader.Position);
            _filled++;
            foreach (SemaphoreSlim ready in _ready) ready.Release();
            if (piece.IsLast) return;
        }
    }

    // False when it is stopped, or nobody is left.
    private bool WaitsForRoom()
    {
        while (!_stopped)
        {
            long slowest;
            lock (_gate) slowest = _givenBack.Min();
            if (slowest == long.MaxValue) return false;
            if (_filled - slowest < Pieces) return true;
            _room.Wait();
        }

        return false;
    }
}
