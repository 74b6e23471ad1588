using Acquire.Capture;

namespace Acquire.Link;

/// <summary>Decides by run, sequence and position where a sound frame stands in the stream.</summary>
internal sealed class LinkOrder
{
    // Same run, sequence as expected or ahead:      position as expected: follows   ahead: gap   behind, or absurdly far ahead: new start
    // Same run, up to Window frames behind:         seen with the same CRC: duplicate   seen with another: new start   not seen: late
    // Same run, further behind:                     uncertain: a new start if the next frame follows on it, else late
    // One of the runs before, near its end, when it ended not long ago:   late
    // Another run:                                  new start
    //
    // O1  _position is the position of the first scan not yet accounted for.
    // O2  A frame is used only if it follows, shows a gap, or begins anew; so no scan is counted twice.
    private const int Window = 64;
    private const int RunsKept = 8;

    /// <summary>Most scans a gap may have, more than twelve days of a million scans a second: beyond, the positions have nothing to do with each other.</summary>
    internal const ulong MostLost = 1UL << 40;

    private readonly uint[] _crcs = new uint[Window];
    private readonly bool[] _seen = new bool[Window];
    private bool _began;
    private ushort _run;
    private uint _sequence;
    private ulong _position;
    private readonly RunBefore[] _runsBefore = new RunBefore[RunsKept];
    private long _used;
    private int _runs;

    /// <summary>Position of the first scan that is not accounted for.</summary>
    public ulong Position => _position;

    public LinkPlace Judge(in LinkHeader header, uint crc, out ulong lost)
    {
        lost = 0;
        if (!_began) return LinkPlace.First;
        if (header.Run != _run)
            return IsStraggler(header) ? LinkPlace.Late : LinkPlace.NewStart;

        int ahead = (int)(header.Sequence - _sequence);
        if (ahead >= 0)
        {
            if (header.Position < _position || header.Position - _position > MostLost) return LinkPlace.NewStart;
            lost = header.Position - _position;
            return lost == 0 ? LinkPlace.Follows : LinkPlace.Gap;
        }

        if (!IsJustBehind(_sequence, header.Sequence)) return LinkPlace.Uncertain;
        if (header.Position > _position) return LinkPlace.NewStart;
        int slot = (int)(header.Sequence % Window);
        if (!_seen[slot]) return LinkPlace.Late;
        return _crcs[slot] == crc ? LinkPlace.Duplicate : LinkPlace.NewStart;
    }

    /// <summary>Why scans are missing in front of a frame: no frame is, so the device lost them; or frames are.</summary>
    public GapCause CauseOfGap(in LinkHeader header) => header.Sequence == _sequence ? GapCause.Overrun : GapCause.Link;

    /// <summary>Takes over a frame that is used.</summary>
    /// <param name="header">Its header.</param>
    /// <param name="crc">Its CRC.</param>
    /// <param name="anew">Whether numbers begin anew with it.</param>
    /// <param name="scans">Scans that it accounts for.</param>
    public void Use(in LinkHeader header, uint crc, bool anew, ulong scans)
    {
        if (anew)
        {
            if (_began && header.Run != _run) _runsBefore[_runs++ % RunsKept] = new RunBefore(_run, _sequence, _used + Window);
            _seen.AsSpan().Clear();
            _began = true;
            _run = header.Run;
        }
        else
        {
            uint missing = Math.Min(header.Sequence - _sequence, Window);
            for (uint i = 1; i <= missing; i++) _seen[(header.Sequence - i) % Window] = false;
        }

        int slot = (int)(header.Sequence % Window);
        _used++;
        _seen[slot] = true;
        _crcs[slot] = crc;
        _sequence = header.Sequence + 1;
        _position = header.Position + scans;
    }

    /// <summary>Whether a frame goes on from one that was uncertain: then both are of a new start.</summary>
    public static bool GoesOn(in LinkHeader from, in LinkHeader next) =>
        next.Run == from.Run && next.Sequence - from.Sequence is >= 1 and <= Window && next.Position >= from.Position;

    // A device that has few run numbers comes back to one: so only while frames of that run may still be on their way.
    private bool IsStraggler(in LinkHeader header)
    {
        foreach (RunBefore run in _runsBefore)
            if (_used < run.ForgottenAt && header.Run == run.Run && Math.Abs((long)(int)(header.Sequence - run.Sequence)) <= Window) return true;
        return false;
    }

    /// <summary>A run that ended: its number, the frame that would have been next, and how many frames will have been used when none of it can come any more.</summary>
    private readonly record struct RunBefore(ushort Run, uint Sequence, long ForgottenAt);

    private static bool IsJustBehind(uint expected, uint sequence) => expected - sequence is >= 1 and <= Window;
}
