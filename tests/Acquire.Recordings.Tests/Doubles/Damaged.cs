namespace Acquire.Recordings.Tests.Doubles;

/// <summary>Recordings with something wrong, and the refusal that they must get.</summary>
internal static class Damaged
{
    public static readonly byte[] TwoScans = [0, 0, 1, 0, 2, 0, 3, 0];

    public static RecordingException Refused(string path, RecordingFailure failure, RecordingOptions? options = null)
    {
        RecordingException e = Assert.Throws<RecordingException>(() => RecordingReader.Open(path, options).Dispose());
        Assert.Equal(failure, e.Failure);
        Assert.Equal(-1, e.Message.IndexOfAny(['\n', '\r']));
        return e;
    }

    public static string Name(TempFolder folder, string json)
    {
        string name = Foreign.Write(folder, "ru16_le", TwoScans);
        Foreign.WriteMetadata(name, json);
        return name;
    }

    public static string Metadata(string global = "", string captures = """{"core:sample_start":0}""", string annotations = "") =>
        $$"""{"global":{"core:datatype":"ru16_le","core:version":"1.2.5"{{(global.Contains("core:num_channels", StringComparison.Ordinal) ? "" : ",\"core:num_channels\":2")}}{{global}}},"captures":[{{captures}}],"annotations":[{{annotations}}]}""";
}
