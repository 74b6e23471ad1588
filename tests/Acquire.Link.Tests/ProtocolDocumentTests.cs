using System.Globalization;
using System.Text.RegularExpressions;
using Acquire.Capture;
using Acquire.Link.Tests.Doubles;

namespace Acquire.Link.Tests;

/// <summary>The worked examples of docs/link-protocol.md are what the code does, byte for byte.</summary>
public sealed class ProtocolDocumentTests
{
    public static TheoryData<string> Examples()
    {
        string text = File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "docs", "link-protocol.md"));
        var examples = new TheoryData<string>();
        foreach (Match match in Regex.Matches(text, "```link\n(.*?)```", RegexOptions.Singleline, TimeSpan.FromSeconds(1)))
            examples.Add(match.Groups[1].Value);
        return examples;
    }

    [Fact]
    public void Document_EveryKind_HasAnExample() =>
        Assert.Equal(
            Enum.GetValues<LinkFrameKind>(),
            Examples().Select(e => Enum.Parse<LinkFrameKind>(Field(e.Data, "kind"), ignoreCase: true)).Distinct().Order());

    [Theory]
    [MemberData(nameof(Examples))]
    public void Example_Frame_IsWhatThePayloadIsWrittenAs(string example)
    {
        byte[] frame = Hex(Field(example, "frame"));
        LinkHeader header = new(
            Enum.Parse<LinkFrameKind>(Field(example, "kind"), ignoreCase: true),
            ushort.Parse(Field(example, "run")),
            uint.Parse(Field(example, "sequence")),
            ulong.Parse(Field(example, "position")));

        byte[] wire = new byte[LinkFrame.MostWireBytes(frame.Length)];
        int written = LinkFrame.Write(header, frame.AsSpan(LinkFrame.HeaderBytes, frame.Length - LinkFrame.HeaderBytes - LinkFrame.TrailerBytes), wire);
        byte[] unstuffed = new byte[written];
        int count = Cobs.DecodeByteByByte(wire.AsSpan(0, written - 1), unstuffed);

        Assert.Equal(Hex(Field(example, "wire")), wire[..written]);
        Assert.Equal(frame, unstuffed[..count]);
    }

    [Theory]
    [MemberData(nameof(Examples))]
    public void Example_Wire_GivesWhatIsSaid(string example)
    {
        var heard = new HeardScans();
        var decoder = new LinkDecoder(heard);
        ulong position = ulong.Parse(Field(example, "position"));
        ushort run = ushort.Parse(Field(example, "run"));

        // A frame before it, so that losses and words have something to refer to.
        if (position > 0) decoder.Take(Before(run, uint.Parse(Field(example, "sequence")) - 1, position - 16));
        int before = heard.All.Count;
        decoder.Take(Hex(Field(example, "wire")));
        decoder.Complete();

        string[] after = [.. heard.All.Skip(before)];
        string said = Field(example, "kind") switch
        {
            "description" => Words(Assert.Single(heard.Descriptions)),
            "word" => Regex.Replace(Assert.Single(after), @"mark (\d+) (\d+)", m => $"word {m.Groups[2]} from {ulong.Parse(m.Groups[1].Value) + position - 16} on", RegexOptions.None, TimeSpan.FromSeconds(1)),
            "overrun" => Regex.Replace(Assert.Single(after), @"gap (\d+) Overrun", "$1 lost", RegexOptions.None, TimeSpan.FromSeconds(1)),
            "text" => Assert.Single(after)["say ".Length..],
            "end" => $"{decoder.SentByDevice} sent",
            _ => string.Join(" | ", after),
        };
        Assert.Equal(Field(example, "gives"), said);
    }

    [Fact]
    public void Document_FrameSizes_AreThoseOfTheCode()
    {
        string text = File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "docs", "link-protocol.md"));

        Assert.Contains($"A frame has {LinkFrame.FewestBytes} to {LinkFrame.MostBytes:#,0} bytes, so a payload has at most {LinkFrame.MostPayloadBytes:#,0}.", text, StringComparison.Ordinal);
        Assert.Contains($"Between two delimiters stand at most {LinkFrame.MostEncodedBytes:#,0} bytes.", text, StringComparison.Ordinal);
        foreach ((int frame, int codes) in new[] { (64, 36), (256, 226), (1_024, 992) })
        {
            int most = Enumerable.Range(1, frame).Last(n => LinkFrame.MostWireBytes(n + 2) <= frame) / 2 * 2;
            Assert.Equal(codes, most);
            Assert.Matches($@"of {frame:#,0} bytes( on the wire carries)? {codes}\b", text);
        }
    }

    private static byte[] Before(ushort run, uint sequence, ulong position)
    {
        byte[] wire = new byte[256];
        byte[] payload = [2, 12, .. Enumerable.Repeat<byte>(0xA5, 64)];
        return wire[..LinkFrame.Write(new LinkHeader(LinkFrameKind.Scans16, run, sequence, position), payload, wire)];
    }

    private static string Words(StreamDescription d) =>
        string.Create(CultureInfo.InvariantCulture, $"{d.Device}, halves of {d.ScansPerHalf}, {d.Scan.ScanRateHz:0.000} Hz, {d.Scan.Bits} bits, ")
        + string.Join(", ", d.Scan.Roles.Select((role, c) => string.Create(CultureInfo.InvariantCulture, $"{role} {d.VoltsOf(c)!.AtCodeZero:0.###} to {d.VoltsOf(c)!.AtFullCode:0.###} V")));

    private static string Field(string example, string name) =>
        Regex.Match(example, $@"^{name}\s+(.*?)(?=\n\S|\n*\z)", RegexOptions.Singleline | RegexOptions.Multiline, TimeSpan.FromSeconds(1)).Groups[1].Value.Trim();

    private static byte[] Hex(string text) => Convert.FromHexString(Regex.Replace(text, @"\s", "", RegexOptions.None, TimeSpan.FromSeconds(1)));
}
