using System.Text;

namespace Acquire.Recordings.Tests.Doubles;

/// <summary>Recordings as others write them: metadata text and dataset bytes are given literally.</summary>
internal static class Foreign
{
    /// <summary>Writes a pair.</summary>
    /// <param name="folder">Where.</param>
    /// <param name="datatype">The words' name.</param>
    /// <param name="data">Bytes of the dataset.</param>
    /// <param name="channels">Channels.</param>
    /// <param name="captures">Items of the captures list.</param>
    /// <param name="more">More fields of the global object, each beginning with a comma.</param>
    /// <param name="annotations">Items of the annotations list.</param>
    /// <param name="dataName">Name of the dataset; null is the usual one.</param>
    /// <returns>The recording's name.</returns>
    public static string Write(
        TempFolder folder, string datatype, byte[] data, int channels = 2,
        string captures = """{"core:sample_start":0}""", string more = "", string annotations = "", string? dataName = null)
    {
        string name = folder.File("foreign");
        File.WriteAllBytes(folder.File(dataName ?? "foreign.sigmf-data"), data);
        WriteMetadata(name, $$"""
            {"global":{"core:datatype":"{{datatype}}","core:version":"1.2.5","core:num_channels":{{channels}}{{more}}},
             "captures":[{{captures}}],"annotations":[{{annotations}}]}
            """);
        return name;
    }

    public static void WriteMetadata(string name, string json) =>
        File.WriteAllText(name + ".sigmf-meta", json, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));

    /// <summary>Reads everything: codes, and a line for each joint at the index of the scan after it.</summary>
    public static (ushort[] Codes, string Joints) ReadAll(RecordingReader reader, int scansPerRead = 7)
    {
        var codes = new List<ushort>();
        var joints = new List<string>();
        ushort[] span = new ushort[scansPerRead * reader.ChannelCount];
        while (true)
        {
            RecordingRead read = reader.Read(span);
            switch (read.Kind)
            {
                case RecordingReadKind.End:
                    return ([.. codes], string.Join(' ', joints));
                case RecordingReadKind.Scans:
                    codes.AddRange(span.AsSpan(0, read.Scans * reader.ChannelCount));
                    break;
                default:
                    string lost = read.Kind == RecordingReadKind.Gap ? $"{read.LostScans}" : "?";
                    joints.Add($"{codes.Count / reader.ChannelCount}:{lost}:{read.Cause}");
                    break;
            }
        }
    }
}
