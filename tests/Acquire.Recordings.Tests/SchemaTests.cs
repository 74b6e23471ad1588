using System.Text.Json;
using Acquire.Capture;
using Acquire.Recordings.Tests.Doubles;
using CsCheck;
using Json.Schema;

namespace Acquire.Recordings.Tests;

/// <summary>What is written validates against the schema of the format's version 1.2.5.</summary>
public sealed class SchemaTests
{
    // Built once: the library registers a schema under its name and refuses a second one.
    private static readonly Lazy<JsonSchema> Built = new(() => JsonSchema.FromText(File.ReadAllText(Shared.File("sigmf/sigmf-schema.json"))));

    private static JsonSchema Schema()
    {
        Shared.File("sigmf/sigmf-schema.json");
        return Built.Value;
    }

    private static bool IsValid(JsonSchema schema, string metadataPath) =>
        schema.Evaluate(JsonDocument.Parse(File.ReadAllText(metadataPath)).RootElement).IsValid;

    [Fact]
    public void Schema_RejectsWhatItShould()
    {
        using var folder = new TempFolder();
        string name = Foreign.Write(folder, "rx16_le", [0, 0, 0, 0]);

        Assert.False(IsValid(Schema(), name + ".sigmf-meta"));
    }

    [Fact]
    public void WrittenMetadata_IsValid()
    {
        JsonSchema schema = Schema();
        Gen<string> texts = Gen.String[Gen.Char["ab\"\\\u00B5\n\u2028"], 0, 30];
        Gen.Select(Gen.Int[1, 9], Gen.Double[1, 1e12].Nullable(), Gen.Int[1, 16].Nullable(), texts.Null(), Gen.DateTime[new DateTime(1, 1, 1), new DateTime(9999, 12, 31)].Nullable(), Gen.Int[0, 20])
            .Sample((channels, rate, bits, text, time, gaps) =>
            {
                using var folder = new TempFolder();
                string name = folder.File("x");
                using (var writer = new RecordingWriter(name, new RecordingWriterOptions
                {
                    ChannelCount = channels,
                    ScanRateHz = rate,
                    Bits = bits,
                    Description = text,
                    Author = text,
                    Hardware = text,
                    Started = time is { } t ? new DateTimeOffset(t, TimeSpan.Zero) : null,
                    ComputeHash = true,
                }))
                {
                    for (int i = 0; i <= gaps; i++)
                    {
                        writer.Write(new ushort[channels * (i + 1)]);
                        if (i % 3 == 2) writer.WriteBreak();
                        else writer.WriteGap(i + 1, (GapCause)(i % 5));
                        writer.Annotate(new RecordingAnnotation(gaps - i, i, text, text));
                    }

                    writer.Complete();
                }

                using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { VerifyHash = true });
                return IsValid(schema, name + ".sigmf-meta") && reader.Notes.Count == 0;
            }, iter: 50);
    }

    [Fact]
    public void ManySegments_StayReadable()
    {
        using var folder = new TempFolder();
        string name = folder.File("x");
        using (var writer = new RecordingWriter(name))
        {
            for (int i = 0; i < 5_000; i++)
            {
                writer.Write([1, 2]);
                writer.WriteGap(1, GapCause.Link);
            }

            writer.Complete();
        }

        Assert.True(IsValid(Schema(), name + ".sigmf-meta"));
        using RecordingReader reader = RecordingReader.Open(name);
        Assert.Equal(5_000, Foreign.ReadAll(reader).Joints.Split(' ').Length);
    }
}
