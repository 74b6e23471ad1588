namespace Acquire.Columns;

/// <summary>The columns that a ramp turned by hand is visiting: those in which it has been since it was last farther away from them than its noise moves it.</summary>
/// <param name="columnCount">Columns.</param>
internal sealed class HandVisit(int columnCount)
{
    private readonly bool[] _isVisited = new bool[columnCount];
    private int _first;
    private int _end;

    /// <summary>The ramp has not been anywhere.</summary>
    public void Clear() => Leave(_first, _end);

    /// <summary>The ramp is in a column.</summary>
    /// <param name="column">Column.</param>
    /// <param name="near">Columns within which noise moves it.</param>
    /// <returns>Whether it has come back to it, or is there for the first time.</returns>
    public bool Enter(int column, int near)
    {
        int first = Math.Max(0, column - near), end = Math.Min(_isVisited.Length, column + near + 1);
        Leave(_first, Math.Min(_end, first));
        Leave(Math.Max(_first, end), _end);
        (_first, _end) = (first, end);
        if (_isVisited[column]) return false;
        _isVisited[column] = true;
        return true;
    }

    private void Leave(int first, int end)
    {
        if (first < end) Array.Clear(_isVisited, first, end - first);
    }
}
