using System.Globalization;
using System.Text;
using Acquire.Harness.Measuring;

namespace Acquire.Harness.Output;

/// <summary>Writes a measured trace as comma-separated values (RFC 4180), one record per column.</summary>
internal static class MeasurementCsv
{
    /// <summary>Writes the header and the records.</summary>
    /// <param name="stream">Gets the text; the caller closes it.</param>
    /// <param name="measurement">What came out.</param>
    public static void Write(Stream stream, Measurement measurement)
    {
        StringBuilder text = new();
        text.Append(Positions.NameOf(measurement.Axis)).Append(",count,level,trusted,unit\r\n");
        string unit = SweepTableCsv.Quoted(measurement.Unit);
        for (int column = 0; column < measurement.Values.Length; column++)
        {
            text.Append(Number(measurement.Positions[column])).Append(',').Append(measurement.Counts[column]).Append(',')
                .Append(Number(measurement.Values[column])).Append(',').Append(measurement.Trusted[column] ? "true" : "false").Append(',')
                .Append(unit).Append("\r\n");
        }

        stream.Write(Encoding.UTF8.GetBytes(text.ToString()));
    }

    private static string Number(double value) => double.IsFinite(value) ? value.ToString("R", CultureInfo.InvariantCulture) : "";
}
