using System.Text;
using Acquire.Recordings.Tests.Doubles;
using CsCheck;
using static Acquire.Recordings.Tests.Doubles.Damaged;

namespace Acquire.Recordings.Tests;

public sealed class RecordingErrorTests
{
    [Theory]
    [InlineData("cf32_le", RecordingFailure.ComplexWords, "complex")]
    [InlineData("cu8", RecordingFailure.ComplexWords, "complex")]
    [InlineData("ri16", RecordingFailure.UnknownWords, "write ri16_le")]
    [InlineData("ri16_lexyz", RecordingFailure.UnknownWords, "ri16_lexyz")]
    [InlineData("ri16_le_be", RecordingFailure.UnknownWords, "ri16_le_be")]
    [InlineData("ri16_", RecordingFailure.UnknownWords, "ri16_")]
    [InlineData("ri12_le", RecordingFailure.UnknownWords, "ri12_le")]
    [InlineData("RI16_LE", RecordingFailure.UnknownWords, "RI16_LE")]
    [InlineData("rf32", RecordingFailure.UnknownWords, "write rf32_le")]
    [InlineData("", RecordingFailure.UnknownWords, "must be")]
    [InlineData("c", RecordingFailure.UnknownWords, "must be")]
    [InlineData("r", RecordingFailure.UnknownWords, "must be")]
    public void Open_Datatype_Refused(string datatype, RecordingFailure failure, string part)
    {
        using var folder = new TempFolder();

        RecordingException e = Refused(Foreign.Write(folder, datatype, TwoScans), failure);

        Assert.Contains(part, e.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(""","core:sample_rate":0""", RecordingFailure.RateWrong, "is 0")]
    [InlineData(""","core:sample_rate":-48000""", RecordingFailure.RateWrong, "is -48000")]
    [InlineData(""","core:sample_rate":1e999""", RecordingFailure.RateWrong, "finite")]
    [InlineData(""","core:sample_rate":NaN""", RecordingFailure.NotJson, "'N'")]
    [InlineData(""","core:sample_rate":"NaN" """, RecordingFailure.FieldWrong, "core:sample_rate in global")]
    [InlineData(""","core:sample_rate":null""", RecordingFailure.FieldWrong, "is null")]
    [InlineData(""","core:num_channels":0""", RecordingFailure.ChannelsWrong, "is 0")]
    [InlineData(""","core:num_channels":-2""", RecordingFailure.FieldWrong, "negative")]
    [InlineData(""","core:num_channels":1.5""", RecordingFailure.FieldWrong, "whole number")]
    [InlineData(""","core:num_channels":9223372036854775807""", RecordingFailure.ChannelsWrong, "1 to 65536")]
    [InlineData(""","core:num_channels":99999999999999999999""", RecordingFailure.FieldWrong, "whole number")]
    [InlineData(""","core:num_channels":"2" """, RecordingFailure.FieldWrong, "is \"2\"; it must be a whole number")]
    [InlineData(""","core:num_channels":[2]""", RecordingFailure.FieldWrong, "array")]
    [InlineData(""","core:num_channels":200""", RecordingFailure.NoScans, "not one whole scan")]
    [InlineData(""","core:description":7""", RecordingFailure.FieldWrong, "core:description")]
    [InlineData(""","core:offset":-1""", RecordingFailure.FieldWrong, "negative")]
    [InlineData(""","core:offset":1""", RecordingFailure.FieldWrong, "before the first scan")]
    [InlineData(""","core:trailing_bytes":9""", RecordingFailure.BeyondFile, "trailing")]
    [InlineData(""","core:trailing_bytes":8""", RecordingFailure.NoScans, "not one whole scan")]
    [InlineData(""","core:dataset":"../other.dat" """, RecordingFailure.FieldWrong, "same folder")]
    [InlineData(""","core:dataset":"/etc/passwd" """, RecordingFailure.FieldWrong, "same folder")]
    [InlineData(""","core:dataset":".." """, RecordingFailure.FieldWrong, "same folder")]
    [InlineData(""","core:dataset":"" """, RecordingFailure.FieldWrong, "same folder")]
    [InlineData(""","core:dataset":"gone.dat" """, RecordingFailure.DataMissing, "gone.dat")]
    [InlineData(""","core:extensions":[{"name":"strange","version":"1.0.0","optional":false}]""", RecordingFailure.ExtensionUnknown, "\"strange 1.0.0\"")]
    [InlineData(""","core:extensions":[{"name":"acquire","version":"2.0.0","optional":false}]""", RecordingFailure.ExtensionUnknown, "\"acquire 2.0.0\"")]
    [InlineData(""","core:extensions":{}""", RecordingFailure.FieldWrong, "array")]
    [InlineData(""","acquire:bits":17""", RecordingFailure.FieldWrong, "1 to 16")]
    [InlineData(""","core:description":"a","core:description":"a" """, RecordingFailure.FieldWrong, "core:description in global is there twice")]
    [InlineData(""","core:extensions":[{"name":"a","version":"1.0.0","version":"1.0.1"}]""", RecordingFailure.FieldWrong, "version in core:extensions[0] is there twice")]
    [InlineData(""","core:hw":"a","core:extensions":[{"name":"a"},{"name":"b"}],"core:hw":"b" """, RecordingFailure.FieldWrong, "core:hw")]
    [InlineData(""","core:extensions":[],"core:extensions":[]""", RecordingFailure.FieldWrong, "twice")]
    public void Open_GlobalField_Refused(string field, RecordingFailure failure, string part)
    {
        using var folder = new TempFolder();

        RecordingException e = Refused(Name(folder, Metadata(field)), failure);

        Assert.Contains(part, e.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("""{"core:sample_start":1},{"core:sample_start":0}""", RecordingFailure.CapturesUnsorted, "captures[1]")]
    [InlineData("""{"core:global_index":0}""", RecordingFailure.FieldMissing, "core:sample_start in captures[0]")]
    [InlineData("""{"core:sample_start":"0"}""", RecordingFailure.FieldWrong, "core:sample_start in captures[0]")]
    [InlineData("""{"core:sample_start":0,"core:global_index":"7"}""", RecordingFailure.FieldWrong, "core:global_index")]
    [InlineData("""{"core:sample_start":0,"core:global_index":-7}""", RecordingFailure.FieldWrong, "negative")]
    [InlineData("""{"core:sample_start":0,"core:global_index":1e40}""", RecordingFailure.FieldWrong, "whole number")]
    [InlineData("""{"core:sample_start":0,"core:header_bytes":9}""", RecordingFailure.BeyondFile, "header_bytes")]
    [InlineData("""{"core:sample_start":0,"core:header_bytes":8}""", RecordingFailure.NoScans, "whole scan")]
    [InlineData("""{"core:sample_start":0},{"core:sample_start":1,"core:header_bytes":5}""", RecordingFailure.BeyondFile, "at 1")]
    [InlineData("""{"core:sample_start":0,"core:datetime":"2030-01-31T12:00:00+01:00"}""", RecordingFailure.FieldWrong, "with Z")]
    [InlineData("""{"core:sample_start":0,"core:datetime":"yesterday"}""", RecordingFailure.FieldWrong, "yesterday")]
    [InlineData("""{"core:sample_start":0,"acquire:break":1}""", RecordingFailure.FieldWrong, "acquire:break")]
    [InlineData("""{"core:sample_start":0},{"core:sample_start":1,"core:sample_start":1}""", RecordingFailure.FieldWrong, "core:sample_start in captures[1] is there twice")]
    [InlineData("7", RecordingFailure.FieldWrong, "captures")]
    public void Open_Capture_Refused(string captures, RecordingFailure failure, string part)
    {
        using var folder = new TempFolder();

        RecordingException e = Refused(Name(folder, Metadata(captures: captures)), failure);

        Assert.Contains(part, e.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("", RecordingFailure.NotJson)]
    [InlineData("not json", RecordingFailure.NotJson)]
    [InlineData("[]", RecordingFailure.NotJson)]
    [InlineData("{", RecordingFailure.NotJson)]
    [InlineData("{} x", RecordingFailure.NotJson)]
    [InlineData("{\"global\":{\"core:version\":\"\\ud800\"}}", RecordingFailure.NotJson)]
    [InlineData("{}", RecordingFailure.FieldMissing)]
    [InlineData("{\"global\":{}}", RecordingFailure.FieldMissing)]
    [InlineData("{\"global\":[]}", RecordingFailure.FieldWrong)]
    [InlineData("{\"global\":{\"core:datatype\":\"ru8\"},\"global\":{}}", RecordingFailure.FieldWrong)]
    [InlineData("{\"captures\":{}}", RecordingFailure.FieldWrong)]
    [InlineData("{\"annotations\":null}", RecordingFailure.FieldWrong)]
    public void Open_NoMetadata_Refused(string json, RecordingFailure failure)
    {
        using var folder = new TempFolder();

        Refused(Name(folder, json), failure);
    }

    [Theory]
    [InlineData("  ", "any JSON tokens. Line 1")]
    [InlineData("{\"global\":{},}", "trailing comma")]
    public void Open_NoJson_TheReasonIsOneForAPersonWithAFile(string json, string reason)
    {
        using var folder = new TempFolder();

        string message = Refused(Name(folder, json), RecordingFailure.NotJson).Message;

        Assert.Contains(reason, message, StringComparison.Ordinal);
        Assert.DoesNotContain("reader options", message, StringComparison.Ordinal);
    }

    [Fact]
    public void Open_InvalidUtf8_Refused()
    {
        using var folder = new TempFolder();
        string name = Name(folder, "");
        File.WriteAllBytes(name + ".sigmf-meta", [.. "{\"global\":{\"core:author\":\""u8, 0xC3, 0x28, .. "\"}}"u8]);

        Assert.Contains("UTF-8", Refused(name, RecordingFailure.NotJson).Message, StringComparison.Ordinal);
    }

    // The file is valid UTF-8 then; saved as such once more it would be refused for ever.
    [Fact]
    public void Open_HalfASurrogatePair_SaysSo()
    {
        using var folder = new TempFolder();

        Assert.Contains("half of a surrogate pair", Refused(Name(folder, """{"global":{"core:author":"\ud800"}}"""), RecordingFailure.NotJson).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Open_JsonOneHundredThousandDeep_RefusedAtOnce()
    {
        using var folder = new TempFolder();
        string name = Name(folder, Metadata(",\"x:deep\":" + new string('[', 100_000) + new string(']', 100_000)));

        RecordingException e = Refused(name, RecordingFailure.NotJson);

        Assert.Contains("nested deeper than 64", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Open_MetadataOfOneGigabyte_RefusedWithoutReadingIt()
    {
        using var folder = new TempFolder();
        string name = Name(folder, "");
        using (FileStream file = File.Create(name + ".sigmf-meta")) file.SetLength(1L << 30);
        long before = GC.GetAllocatedBytesForCurrentThread();

        RecordingException e = Refused(name, RecordingFailure.MetadataTooLarge);

        Assert.Contains("1073741824", e.Message, StringComparison.Ordinal);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 1 << 20);
    }

    [Fact]
    public void Open_LargestMetadataFullOfBrackets_MemoryBoundedByTheFile()
    {
        using var folder = new TempFolder();
        byte[] json = new byte[Sigmf.SigmfRecording.MostMetadataBytes];
        string head = "{\"global\":{\"core:datatype\":\"ru16_le\",\"core:num_channels\":2,\"x:list\":[[]";
        string tail = "]},\"captures\":[],\"annotations\":[]}";
        Array.Fill(json, (byte)' ');
        Encoding.ASCII.GetBytes(head, json);
        for (int i = head.Length; i + 3 < json.Length - tail.Length; i += 3) ",[]"u8.CopyTo(json.AsSpan(i));
        Encoding.ASCII.GetBytes(tail, json.AsSpan(json.Length - tail.Length));
        string name = Name(folder, "");
        File.WriteAllBytes(name + ".sigmf-meta", json);
        long before = GC.GetAllocatedBytesForCurrentThread();

        using RecordingReader reader = RecordingReader.Open(name);

        Assert.Equal(2, reader.ScanCount);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, json.Length + (1 << 20));
    }

    [Fact]
    public void Open_VerifyHash_ComparesOnlyWhenAsked()
    {
        using var folder = new TempFolder();
        string wrong = Name(folder, Metadata($",\"core:sha512\":\"{new string('0', 128)}\""));

        RecordingReader.Open(wrong).Dispose();
        Refused(wrong, RecordingFailure.HashWrong, new RecordingOptions { VerifyHash = true });
        Refused(Name(folder, Metadata(",\"core:sha512\":\"short\"")), RecordingFailure.HashWrong, new RecordingOptions { VerifyHash = true });
        using RecordingReader without = RecordingReader.Open(Name(folder, Metadata()), new RecordingOptions { VerifyHash = true });
        Assert.Contains("core:sha512", Assert.Single(without.Notes), StringComparison.Ordinal);
    }

    [Fact]
    public void Open_OddButReadable_NotesOnly()
    {
        using var folder = new TempFolder();
        string odd = """
            {"other":[{"a":[1,{}]}],"global":{"core:datatype":"ru8_le","core:version":"2.0.0","core:num_channels":2.0,"other:thing":{"x":[]},
             "core:extensions":[{"name":"strange","version":"1","optional":true}],"core:geolocation":{"type":"Point","coordinates":[1,2]}},
             "annotations":[{"core:sample_start":3,"core:freq_lower_edge":1},{"core:sample_start":1,"other:x":null}]}
            """;

        using RecordingReader reader = RecordingReader.Open(Name(folder, "\uFEFF" + odd));

        Assert.Equal(4, reader.ScanCount);
        Assert.Equal([1, 3], reader.Annotations.Select(a => a.StartScan));
        Assert.Equal(5, reader.Notes.Count);
        foreach (string part in (string[])["byte order", "captures", "version 2.0.0", "frequency edge", "not sorted"])
            Assert.Contains(reader.Notes, n => n.Contains(part, StringComparison.Ordinal));
    }

    [Fact]
    public void Open_MutatedMetadata_NeverThrowsAnythingElse()
    {
        using var folder = new TempFolder();
        byte[] good = Encoding.UTF8.GetBytes(Metadata(
            ""","core:sample_rate":1e5,"core:offset":3,"core:description":"a \u00B5 b","core:extensions":[{"name":"acquire","version":"1.0.0","optional":false}]""",
            """{"core:sample_start":3,"core:datetime":"2030-01-31T12:00:00.5Z"},{"core:sample_start":4,"core:global_index":9,"core:header_bytes":0}""",
            """{"core:sample_start":3,"core:sample_count":2,"core:label":"x"}"""));
        string name = Name(folder, "");
        int read = 0;

        Gen.Select(Gen.Int[0, good.Length - 1], Gen.OneOf(Gen.Byte, Gen.Byte[0x30, 0x39])).List[1, 3].Sample(changes =>
        {
            byte[] bytes = [.. good];
            foreach ((int at, byte value) in changes) bytes[at] = value;
            File.WriteAllBytes(name + ".sigmf-meta", bytes);
            try
            {
                using RecordingReader reader = RecordingReader.Open(name);
                Foreign.ReadAll(reader);
                read++;
                return true;
            }
            catch (RecordingException e)
            {
                return e.Message.IndexOfAny(['\n', '\r']) < 0;
            }
        }, iter: 1_500, threads: 1);
        Assert.InRange(read, 10, 1_490);
    }

    [Fact]
    public void Open_ImplausibleGaps_AreBreaks()
    {
        using var folder = new TempFolder();
        string name = Name(folder, Metadata(captures:
            """{"core:sample_start":0},{"core:sample_start":1,"core:global_index":9223372036854775807}"""));

        using RecordingReader reader = RecordingReader.Open(name);

        Assert.Equal("1:?:Unknown", Foreign.ReadAll(reader).Joints);
        Assert.Contains("not plausible", Assert.Single(reader.Notes), StringComparison.Ordinal);
    }
}
