using System.Runtime.Intrinsics;
using Acquire.Columns;
using Acquire.Harness.Runs;

namespace Acquire.Harness.Output;

/// <summary>The text of every value that a single reading of one vertical can have: as many as there are codes, so each is made once.</summary>
internal sealed class CodeTexts
{
    // The last byte of a place says how long its text is.
    private const int PlaceBytes = NumberText.MostBytes, LengthAt = PlaceBytes - 1;

    private readonly byte[] _texts;

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
        _texts = new byte[codes * PlaceBytes];
        for (int code = 0; code < codes; code++)
        {
            Span<byte> place = _texts.AsSpan(code * PlaceBytes, PlaceBytes);
            // On a linear scale a code without input has the level minus infinity, for which neither JSON nor a table has a word.
            place[LengthAt] = double.IsFinite(values[code]) ? (byte)NumberText.Write(place[..LengthAt], values[code]) : (byte)0;
        }
    }

    /// <summary>Writes the value of a code.</summary>
    /// <param name="text">Has room for <see cref="NumberText.MostBytes"/>; what lies after the text changes too.</param>
    /// <param name="code">0 to the full code.</param>
    /// <returns>Bytes written; 0 where the code has no value.</returns>
    public int Write(Span<byte> text, ushort code)
    {
        Vector256<byte> place = Vector256.Create<byte>(_texts.AsSpan(code * PlaceBytes, PlaceBytes));
        place.CopyTo(text);
        return place[LengthAt];
    }
}
