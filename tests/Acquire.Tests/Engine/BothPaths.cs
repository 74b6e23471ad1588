namespace Acquire.Tests.Engine;

/// <summary>One stream through an engine that goes scan by scan and one that does not.</summary>
internal static class BothPaths
{
    /// <summary>After every call the traces and where the scans went are the same to the bit, and so are all sweeps in the end.</summary>
    /// <param name="stream">The scans.</param>
    /// <param name="setup">Setup of both.</param>
    /// <param name="historyScans">History of both, a power of two.</param>
    /// <param name="lengthOfNext">Scans of the next call, the same for both.</param>
    /// <param name="where">What the stream is, for the message.</param>
    public static void AssertSame(ScanStream stream, Setup setup, int historyScans, Func<int> lengthOfNext, string where)
    {
        SweepRecord singly = new(keepsColumns: false), inBlocks = new(keepsColumns: false);
        SweepEngine single = new(setup, singly, historyScans, EnginePath.Single), blocks = new(setup, inBlocks, historyScans, EnginePath.Blocks);
        for (int from = 0; from < stream.Scans;)
        {
            int to = Math.Min(stream.Scans, from + lengthOfNext());
            stream.Feed(single, from, to);
            stream.Feed(blocks, from, to);
            Assert.True(StateHash.Of(single) == StateHash.Of(blocks), $"{where}: the traces differ after {to} scans.");
            Assert.Equal(single.Accounting, blocks.Accounting);
            from = to;
        }

        stream.Complete(single);
        stream.Complete(blocks);
        Assert.True(StateHash.Of(single) == StateHash.Of(blocks), $"{where}: the traces differ at the end.");
        Assert.Equal(single.Accounting, blocks.Accounting);
        Assert.Equal(single.Ramp, blocks.Ramp);
        Assert.Equal(singly.Sweeps.Select(s => (s.Info, s.Axis, s.Hash)), inBlocks.Sweeps.Select(s => (s.Info, s.Axis, s.Hash)));
    }
}
