using Acquire.Columns;
using Acquire.Harness.Runs;

namespace Acquire.Harness.Output;

/// <summary>The text of every value that a single reading of one vertical can have: as many as there are codes, so each is made once.</summary>
internal sealed class CodeTexts
{
    private readonly ShortTexts _texts;

    /// <summary>Makes the texts.</summary>
    /// <param name="reading">How the vertical is read.</param>
    public CodeTexts(VerticalReading reading)
    {
        // A column for each code, so that these are the values which columns of a sweep have.
        int codes = reading.Values.Converter.FullCode + 1;
        ColumnStatistics columns = new(codes, []);
        for (int code = 0; code < codes; code++) columns.Add(code, (ushort)code, []);
        double[] values = new double[codes];
        reading.Read(columns, Detector.Sample, values);
        _texts = new ShortTexts(codes + 1);
        NoPlace = codes;
        Span<byte> text = stackalloc byte[NumberText.MostBytes];
        for (int code = 0; code < codes; code++)
        {
            // On a linear scale a code without input has the level minus infinity, for which neither JSON nor a table has a word.
            if (double.IsFinite(values[code])) _texts.Set(code, text[..NumberText.Write(text, values[code])]);
        }
    }

    /// <summary>Place of what has no value: the one behind the last code's.</summary>
    public int NoPlace { get; }

    /// <summary>Writes the value of a code.</summary>
    /// <param name="text">Has room for <see cref="NumberText.MostBytes"/>; what lies after the text changes too.</param>
    /// <param name="place">0 to the full code, or <see cref="NoPlace"/>.</param>
    /// <returns>Bytes written; 0 where the code has no value.</returns>
    public int Write(Span<byte> text, int place) => _texts.Write(text, place);
}
