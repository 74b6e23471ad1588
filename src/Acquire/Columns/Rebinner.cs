using Acquire.Capture;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Columns;

/// <summary>Files the scans of the sweep under way in columns, provisionally at first.</summary>
/// <remarks>
/// <code>
///    confirmed           | older            | newer
///    sweep's start ..... | older's start .. | newer's start ....... last scan
/// </code>
/// A scan is filed as it comes. What its column held at the newer stretch's start is saved before it is changed. When scans are confirmed
/// beyond that start, the older stretch's savings go, the newer becomes the older and a new one begins. When the sweep ends before the
/// last scan filed, columns are put back to the start of the stretch in which it ended and filed anew up to that end. So nothing is held
/// back, and everything can still be withdrawn that is not confirmed.
/// R1  Stretches follow one another without a hole. R2  No scan after the sweep's end is in a column when the sweep is delivered.
/// </remarks>
internal sealed partial class Rebinner
{
    private const int ColumnBits = 0x1FFFF;
    private const int FittedBit = 1 << 20;
    private const int SettlingBit = 1 << 21;
    private const int SuspectBit = 1 << 22;
    private const int Blanked = -3;
    private const int Unfiled = -4;

    /// <summary>Cells of the converter's range while no edge is known; a whole code falls on a cell's first place.</summary>
    public const int FineCells = 65_536;

    private readonly ScanHistory _scans;
    private readonly int[] _channels;
    private readonly int _rampChannel;
    private readonly int _full;
    private readonly DomainTable?[][] _tables;
    private readonly double _shift;
    private readonly long _settle;
    private readonly bool _direct;
    private readonly bool _sumsDomains;
    private readonly IScanFlags _flags;
    private readonly int[] _placed;
    private readonly long _mask;
    private readonly Store _normal;
    private readonly Store? _fine;

    private SweepColumns _live;
    private SavedColumns _older;
    private SavedColumns _newer;
    private ColumnGrid _grid;
    private ColumnGrid? _fineGrid;
    private long _start;
    private bool _settles;
    private long _olderStart;
    private long _newerStart;
    private long _last;
    private readonly HandVisit _visit;

    /// <param name="scans">History of all channels.</param>
    /// <param name="format">Layout of a scan.</param>
    /// <param name="options">Columns, placement, delays.</param>
    /// <param name="tables">Per vertical, a table per domain, null where not asked for.</param>
    /// <param name="historyScans">Scans that can be filed anew, a power of two.</param>
    /// <param name="flags">Blanked and suspect scans.</param>
    /// <param name="grid">First grid.</param>
    /// <param name="learns">Edges are learnt: a first sweep that does not fit the history needs fine cells.</param>
    public Rebinner(
        ScanHistory scans, ScanFormat format, ColumnOptions options, DomainTable?[][] tables, int historyScans, IScanFlags flags,
        ColumnGrid grid, bool learns)
    {
        _scans = scans;
        _channels = [.. format.VerticalChannels];
        _rampChannel = format.RampChannel;
        _full = format.FullCode;
        _tables = tables;
        double rate = format.ScanRateHz ?? 0;
        // A vertical read after the ramp shows the ramp that much later, a video filter shows it that much earlier.
        _shift = options.SkewScans - (options.VideoDelaySeconds * rate);
        _whole = (int)Math.Min(0, Math.Floor(_shift));
        _part = _shift - _whole;
        _settle = (long)Math.Ceiling((options.SettleSeconds ?? (5 * options.VideoDelaySeconds)) * rate);
        _direct = options.Placement == Placement.Direct || options.RippleIsReal;
        _ramps = new RampPlace[_shift != 0 ? historyScans : 1];
        _shifted = new CourseLine[_shift != 0 ? ScanBlock.Most : 0];
        _around = new ushort[_shift != 0 ? ScanBlock.Most + 8 : 0];
        _fines = new long[_shift != 0 ? ScanBlock.Most : 0];
        _placed = new int[historyScans];
        _blocks = new PlacedRuns(ScanBlock.Scans, historyScans);
        _pieces = new PlacedRuns(ScanBlock.Piece, historyScans);
        _parts = new PlacedRuns(CourseLine.Shortest, historyScans);
        _sumsDomains = tables.Any(vertical => vertical.Any(table => table is not null));
        _mask = historyScans - 1;
        _flags = flags;
        _anew = new ScanBlock(format, withBlanking: false);
        _grid = grid;
        _visit = new HandVisit(options.ColumnCount);
        _normal = new Store(options.ColumnCount, _channels.Length, options.Domains);
        _fine = learns ? new Store(FineCells, _channels.Length, options.Domains) : null;
        (_live, _older, _newer) = (_normal.Live, _normal.Older, _normal.Newer);
        _past = new SweepColumns(RampPast.Blocks, _channels.Length, options.Domains);
        _pastScans = RampPast.ScansOf(historyScans);
        StartStretches();
        ForgetChanges();
    }

    /// <summary>Columns of the sweep under way, with what may still be withdrawn; of the ended sweep until the next begins.</summary>
    public SweepColumns Live => _live;

    /// <summary>Whether cells of the converter's range are filled instead of columns.</summary>
    public bool IsFine => _fineGrid is not null;

    /// <summary>First column changed since <see cref="ForgetChanges"/>.</summary>
    public int FirstChanged { get; private set; }

    /// <summary>One past the last column changed.</summary>
    public int EndChanged { get; private set; }

    /// <summary>Column of the last scan that is in one, or -1.</summary>
    public int Front { get; private set; } = -1;

    /// <summary>First column that the sweep under way has filled; more than any where it has filled none.</summary>
    public int FirstFilled => _live.First;

    /// <summary>One past the last column that the sweep under way has filled, or 0.</summary>
    public int EndFilled => _live.End;

    /// <summary>Grid in force.</summary>
    public ColumnGrid Grid => _grid;

    /// <summary>One past the last scan filed.</summary>
    public long End => _last + 1;

    /// <summary>Files what follows on this grid.</summary>
    public void UseGrid(ColumnGrid grid)
    {
        Abandon();
        ForgetChanges();
        _grid = grid;
        _fineGrid = null;
        Use(_normal);
    }

    /// <summary>Files what follows in cells of the converter's range, until columns can be made of them.</summary>
    /// <param name="fineGrid"><see cref="FineCells"/> columns over all codes.</param>
    public void UseFineCells(ColumnGrid fineGrid)
    {
        Abandon();
        ForgetChanges();
        _fineGrid = fineGrid;
        Use(_fine!);
    }

    /// <summary>Begins a sweep.</summary>
    /// <param name="start">Index of its first scan.</param>
    /// <param name="settles">It comes after a retrace, so its first readings are flagged.</param>
    public void Begin(long start, bool settles)
    {
        _live.Clear();
        StartStretches();
        _start = _olderStart = _newerStart = _placedFrom = start;
        _last = start - 1;
        _settles = settles;
        Front = -1;
    }

    /// <summary>Files one scan.</summary>
    /// <param name="scan">Index; the one after the last.</param>
    /// <param name="course">Ramp code by the course, or NaN.</param>
    /// <param name="slope">Slope of the course there, in codes per scan.</param>
    public void Place(long scan, double course, double slope)
    {
        double ramp = _direct ? double.NaN : course;
        if (_shift != 0) KeepRamp(scan, double.IsNaN(ramp) ? OwnPlace(scan) : RampPlace.On(course, slope));
        Enter(scan, IsLeftOut(scan) ? Blanked : Decide(scan, ramp));
    }

    /// <summary>Files one scan in a column that does not depend on its ramp code.</summary>
    public void PlaceAt(long scan, int column) => Enter(scan, IsLeftOut(scan) ? Blanked : column | Notes(scan));

    /// <summary>Files one scan of a ramp turned by hand: a column that is entered anew forgets what it held.</summary>
    /// <param name="scan">Index.</param>
    /// <param name="near">Columns within which the ramp's noise moves it: coming back from so near is no new visit.</param>
    public void PlaceByHand(long scan, int near)
    {
        if (_shift != 0) KeepRamp(scan, OwnPlace(scan));
        int placed = IsLeftOut(scan) ? Blanked : Decide(scan, double.NaN);
        if (placed >= 0)
        {
            int column = placed & ColumnBits;
            if (Front < 0) _visit.Clear();
            if (_visit.Enter(column, near))
            {
                _newer.Cover(_live, column, column + 1);
                _live.ClearColumn(column);
            }
        }

        Enter(scan, placed);
    }

    /// <summary>Makes columns of the cells that an ended sweep has filled.</summary>
    public void MakeColumns(ColumnGrid grid)
    {
        SweepColumns cells = _live, columns = _normal.Live;
        columns.Clear();
        int step = grid.StartsAtLowCode ? 1 : -1;
        long finePerCell = (long)ColumnGrid.FinePerCode * (_full + 1) / FineCells;
        long offset = _direct && _shift == 0 ? 0 : finePerCell / 2;
        columns.AddCounts(cells);
        // In the order in which the beam ran, so that the last reading of a column is its last.
        for (int i = grid.StartsAtLowCode ? cells.First : cells.End - 1; i >= cells.First && i < cells.End; i += step)
        {
            if (!cells.IsFilled(i)) continue;
            int column = grid.ColumnOf((i * finePerCell) + offset);
            if (column >= 0) columns.MergeColumn(column, cells, i);
            else columns.MoveToOverscan(cells.Verticals[0].Counts[i]);
        }

        _fineGrid = null;
        _grid = grid;
        (_live, _older, _newer) = (_normal.Live, _normal.Older, _normal.Newer);
        StartStretches();
    }

    /// <summary>Whether readings are filed under an earlier place of the ramp.</summary>
    public bool Delays => _shift < 0;

    public void NoteAllChanged() => NoteChange(0, _grid.ColumnCount);

    public void ForgetChanges()
    {
        FirstChanged = int.MaxValue;
        EndChanged = 0;
    }

    private void NoteChange(int first, int end)
    {
        if (first >= end) return;
        if (first < FirstChanged) FirstChanged = first;
        if (end > EndChanged) EndChanged = end;
    }

    private void Use(Store store)
    {
        (_live, _older, _newer) = (store.Live, store.Older, store.Newer);
        _live.Clear();
        StartStretches();
    }

    /// <summary>Columns with what is needed to take back.</summary>
    private sealed class Store(int columnCount, int verticals, IReadOnlyCollection<AveragingDomain> domains)
    {
        public SweepColumns Live { get; } = new(columnCount, verticals, domains);

        public SavedColumns Older { get; } = new(columnCount, verticals, domains);

        public SavedColumns Newer { get; } = new(columnCount, verticals, domains);
    }
}
