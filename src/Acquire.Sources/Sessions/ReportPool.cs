namespace Acquire.Sources.Sessions;

/// <summary>Memory of reports that were given back. Any thread.</summary>
internal sealed class ReportPool(Setup setup, int most)
{
    private readonly Stack<ReportStorage> _free = new();

    /// <summary>Memory given back or, where all of it is in use, new.</summary>
    public ReportStorage Rent()
    {
        lock (_free)
        {
            if (_free.TryPop(out ReportStorage? storage)) return storage;
        }

        return new ReportStorage(setup);
    }

    public void Return(ReportStorage storage)
    {
        lock (_free)
        {
            if (_free.Count < most) _free.Push(storage);
        }
    }
}
