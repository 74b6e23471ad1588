using System.Runtime.ExceptionServices;
using Acquire.Recordings;

namespace Acquire.Harness.Runs;

/// <summary>One read of a recording, kept until everybody has seen it.</summary>
/// <param name="words">Words that it holds at most.</param>
internal sealed class ScanPiece(int words)
{
    private readonly ushort[] _words = GC.AllocateUninitializedArray<ushort>(words);
    private ExceptionDispatchInfo? _failure;
    private RecordingRead _read;
    private int _channels;

    /// <summary>What was read.</summary>
    /// <exception cref="RecordingException">Reading failed here.</exception>
    public RecordingRead Read
    {
        get
        {
            _failure?.Throw();
            return _read;
        }
    }

    /// <summary>Index in the file of its first scan, or of the next one where it holds none.</summary>
    public long Position { get; private set; }

    /// <summary>Words up to the end of it that were no number.</summary>
    public long NotANumber { get; private set; }

    /// <summary>Interleaved words of its scans; valid until the piece is given back.</summary>
    public ReadOnlySpan<ushort> Scans => _words.AsSpan(0, _read.Scans * _channels);

    /// <summary>Whether nothing comes after it.</summary>
    public bool IsLast => _failure is not null || _read.Kind == RecordingReadKind.End;

    /// <summary>Reads the next piece, or keeps what went wrong for those who come to it.</summary>
    /// <param name="reader">Open recording.</param>
    /// <param name="mostScans">Scans to read at most, at least 1.</param>
    public void Fill(RecordingReader reader, long mostScans)
    {
        Position = reader.Position;
        _channels = reader.ChannelCount;
        try
        {
            _read = reader.Read(_words.AsSpan(0, (int)Math.Min(_words.Length / _channels, mostScans) * _channels));
            NotANumber = reader.NotANumber;
        }
        catch (Exception exception)
        {
            _read = default;
            _failure = ExceptionDispatchInfo.Capture(exception);
        }
    }
}
