namespace Acquire.Sweeps;

/// <summary>Lets scans wait for what a lagging blanking line says of them, and puts it beside them.</summary>
/// <param name="channels">Words of a scan.</param>
/// <param name="blankingChannel">The line's channel.</param>
/// <param name="lag">Scans by which it lags, at least 1.</param>
internal sealed class BlankingLag(int channels, int blankingChannel, int lag)
{
    // As many as wait at least, so that each is moved about once.
    private readonly int _most = MostOf(lag);

    // Those given out last, and those that wait.
    private readonly ushort[] _words = new ushort[channels * (MostOf(lag) + lag)];
    private int _given;
    private int _held;

    /// <summary>Scans that wait.</summary>
    public int Waiting => _held - _given;

    /// <summary>Takes scans, as many as there is room for.</summary>
    /// <param name="scans">Interleaved words, whole scans; becomes what is left of them.</param>
    /// <returns>Those of which the line has spoken; valid until the next call.</returns>
    public ReadOnlySpan<ushort> Take(ref ReadOnlySpan<ushort> scans)
    {
        Drop();
        int taken = Math.Min(scans.Length, _most * channels);
        scans[..taken].CopyTo(_words.AsSpan(_held * channels));
        scans = scans[taken..];
        _held += taken / channels;
        _given = Math.Max(0, _held - lag);
        for (int scan = 0; scan < _given; scan++) LineOf(scan) = LineOf(scan + lag);
        return _words.AsSpan(0, _given * channels);
    }

    /// <summary>Gives out those that wait, when nothing follows on them: of what the line would have said the last word holds.</summary>
    /// <returns>The scans; valid until the next call.</returns>
    public ReadOnlySpan<ushort> TakeRest()
    {
        Drop();
        _given = _held;
        for (int scan = 0; scan < _given; scan++) LineOf(scan) = LineOf(Math.Min(scan + lag, _held - 1));
        return _words.AsSpan(0, _given * channels);
    }

    private static int MostOf(int lag) => Math.Max(1_024, lag);

    private ref ushort LineOf(int scan) => ref _words[(scan * channels) + blankingChannel];

    private void Drop()
    {
        _words.AsSpan(_given * channels, Waiting * channels).CopyTo(_words);
        _held -= _given;
        _given = 0;
    }
}
