using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Layout;

/// <summary>The title block of a small sheet: settings as running text, below them title, identification, date and sheet.</summary>
internal sealed class CompactTitleBlock
{
    private readonly Canvas _canvas;
    private readonly List<List<Flow.PlacedWord>> _settings, _fields;
    private readonly Flow _settingsFlow, _fieldsFlow;
    private readonly List<string> _title;
    private readonly double _width, _pad, _titleLetter, _titleWidth;

    public CompactTitleBlock(Canvas canvas, TitleBlock block, IReadOnlyList<SheetEntry> entries, double width, int maxSettingLines)
    {
        _canvas = canvas;
        _width = width;
        SheetMetrics m = canvas.Metrics;
        _pad = m.Small * 0.7;
        _titleLetter = Math.Round(m.Normal * 1.15);
        double room = width - (_pad * 2);
        _settingsFlow = new Flow(canvas, m.Small);
        foreach (SheetEntry entry in entries) _settingsFlow.Add(entry.Name, entry.Value ?? Quantity.NotStated);
        _settings = _settingsFlow.Lay(room, maxSettingLines);

        _fieldsFlow = new Flow(canvas, m.Small);
        _fieldsFlow.Add("Sheet", BlockEntries.Sheet(block));
        _fieldsFlow.Add("Date", BlockEntries.Date(block) ?? Quantity.NotStated);
        _fieldsFlow.Add("Identification", block.Identification ?? Quantity.NotStated);
        if (block.Creator is { } creator) _fieldsFlow.Add("Creator", creator);
        if (block.LegalOwner is { } owner) _fieldsFlow.Add("Legal owner", owner);
        string title = block.Supplement is { } supplement ? $"{block.Title} – {supplement}" : block.Title;
        double wanted = Letterer.Measure(title, _titleLetter);
        _titleWidth = Math.Round(Math.Clamp(wanted + (_pad * 2), width * 0.35, width * 0.52));
        _fields = _fieldsFlow.Lay(width - _titleWidth - (_pad * 2), 3);
        _title = Letterer.Wrap(title, _titleLetter, _titleWidth - (_pad * 2), 2);
        // A long title in letters of the values' size, where that shows more of it.
        if (_title[^1].EndsWith('…'))
        {
            _titleLetter = m.Small;
            _title = Letterer.Wrap(title, m.Small, _titleWidth - (_pad * 2), Math.Max(2, _fields.Count));
        }

        double titleHeight = (_title.Count * Math.Ceiling(_titleLetter * 1.75)) + (m.Small * 0.5);
        FieldsHeight = Math.Max(titleHeight, (_fields.Count * _fieldsFlow.Pitch) + (m.Small * 0.5));
        SettingsHeight = _settings.Count == 0 ? 0 : (_settings.Count * _settingsFlow.Pitch) + (m.Small * 0.5);
    }

    public double Height => SettingsHeight + FieldsHeight;

    private double SettingsHeight { get; }

    private double FieldsHeight { get; }

    public void Draw(double left, double top)
    {
        SheetMetrics m = _canvas.Metrics;
        SheetStyle style = _canvas.Style;
        var outer = Box.At(left, top, _width, Height);
        double split = top + SettingsHeight;
        _canvas.Group("Title block", () =>
        {
            _canvas.Fill(ScenePath.Rectangle(outer), style.Paper);
            _settingsFlow.Draw(_settings, left + _pad, top + FirstBaseline(SettingsHeight, _settings.Count, _settingsFlow.Pitch, m.Small));
            _fieldsFlow.Draw(_fields, left + _titleWidth + _pad, split + FirstBaseline(FieldsHeight, _fields.Count, _fieldsFlow.Pitch, m.Small));
            double pitch = Math.Ceiling(_titleLetter * 1.75), baseline = split + FirstBaseline(FieldsHeight, _title.Count, pitch, _titleLetter);
            foreach (string line in _title)
            {
                _canvas.Text(line, left + _pad, baseline, _titleLetter, style.Ink);
                baseline += pitch;
            }

            _canvas.Rule(left, split, outer.Right, split, style.Rule, m.Thin);
            _canvas.Rule(left + _titleWidth, split, left + _titleWidth, outer.Bottom, style.Rule, m.Thin);
            _canvas.Frame(outer, style.Rule, m.Medium);
        });
    }

    // Lines stand in the middle of their height.
    private static double FirstBaseline(double height, int lines, double pitch, double letter) =>
        Math.Round(((height - ((lines - 1) * pitch) - letter) / 2) + letter);
}
